"""The check `harp-pedal-crowding`."""

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from redstave.analysis import Analysis
from redstave.analysis.harp import LETTERS, Moment, Move, late, moves, plan, playable
from redstave.analysis.page import in_words, spot
from redstave.analysis.struck import Struck, struck
from redstave.analysis.tables import cited
from redstave.checks.needs import by_tempo, harps, tempo_used
from redstave.checks.registry import Limits, check
from redstave.model.finding import Claim, Evidence, Finding
from redstave.model.score import Part


@check("harp-pedal-crowding", Claim.RISK, sources=("volpe",))
def harp_pedal_crowding(analysis: Analysis, _: Limits) -> Iterator[Finding]:
    """Find places where the harpist's feet cannot keep up.

    What it reports
        Chords for which pedals would have to move faster than the feet can, in the best of all
        plans, other spellings included.

    Why it matters
        A pedal that is late is heard as a wrong note that slides into the right one. No practice
        helps where the feet have no time.

    How it is computed
        Each pedal move has its time: from the last use of the old form of its letter to the first
        use of the new one. The moves of each foot are put one after the other by their deadlines.
        This is done for the spelling on the page; where it fails, also for the plan of settings
        with the fewest moves, searched exactly over all 2187 settings and free to respell. Moves
        that come too late in both are reported.

    Limits
        The plan with the fewest moves is not always the one with the most time. Moves under ringing
        strings are allowed. Where the tempo is assumed the finding is a question.

    Sources
        volpe: two moves at once, one for each foot, about two a second, four when divided.
    """
    for part in harps(analysis):
        played = [one for one in struck(analysis.score, part) if playable(_pitches(one))]
        if len(played) < 2:
            continue
        seconds_a_move = cited("harp", "pedal").number
        printed = _printed_moves(analysis, played)
        if not late(printed, seconds_a_move):
            continue
        moments = [_moment(analysis, one) for one in played]
        made = moves(moments, plan(moments))
        missed = late(made, seconds_a_move)
        if missed:
            yield _finding(analysis, part, played, moments, made, missed, len(printed))


def _pitches(one: Struck) -> frozenset[int]:
    return frozenset(round(note.written_midi) % 12 for note in one.notes)


def _moment(analysis: Analysis, one: Struck) -> Moment:
    return Moment(analysis.playing.tempo.seconds(one.tick), _pitches(one))


def _printed_moves(analysis: Analysis, played: Sequence[Struck]) -> list[Move]:
    """Return the pedal moves that the spelling on the page asks for."""
    used: dict[str, tuple[float, float]] = {}  # letter -> form, second of its last use
    found: list[Move] = []
    for one in played:
        second = analysis.playing.tempo.seconds(one.tick)
        for note in one.notes:
            form, last = used.get(note.step, (note.alter, second))
            if form != note.alter:
                found.append(Move(note.step, last, second))
            used[note.step] = note.alter, second
    return found


def _finding(
    analysis: Analysis,
    part: Part,
    played: Sequence[Struck],
    moments: Sequence[Moment],
    made: Sequence[Move],
    missed: Sequence[Move],
    printed: int,
) -> Finding:
    seconds: NDArray[np.float64] = np.array([moment.second for moment in moments])
    places = sorted({int(np.searchsorted(seconds, move.before)) for move in missed})
    letters = [letter for letter in LETTERS if any(move.letter == letter for move in missed)]
    return Finding(
        "harp-pedal-crowding",
        tuple(spot(part, played[at].chords) for at in places),
        (
            Evidence("pedal moves that come too late", len(missed), "moves", 0),
            Evidence("pedal moves of the best plan", len(made), "moves"),
            Evidence("pedal moves as printed", printed, "moves"),
            *tempo_used(analysis),
        ),
        (("letters", in_words(letters)),),
        by_tempo(analysis, Claim.RISK),
    )
