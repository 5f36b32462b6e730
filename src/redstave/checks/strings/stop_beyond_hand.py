"""The check `stop-beyond-hand`."""

from collections.abc import Iterator
from typing import NamedTuple

from redstave.analysis import Analysis, PlayersLevel
from redstave.analysis.doubles import place_spot
from redstave.analysis.fingers import Hand
from redstave.analysis.held import Stop
from redstave.analysis.page import note_names
from redstave.checks.grouping import gathered
from redstave.checks.needs import bowed
from redstave.checks.registry import Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding, Spot


class Wide(NamedTuple):
    """A chord that spans too much."""

    instrument: str
    limit: float
    stop: Stop
    spot: Spot


@check(
    "stop-beyond-hand",
    Claim.RISK,
    sources=("forsyth", "common-practice"),
    settings=(
        Setting(
            "beyond",
            0.0,
            "mm",
            "a chord is reported when it spans more than the limit of the hand by this much",
            "common-practice",
        ),
    ),
)
def stop_beyond_hand(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Find chords of bowed strings for which a hand would have to stretch too far.

    What it reports
        A double, triple or quadruple stop that has a string for each note, but whose fingers stand
        further apart than the hand reaches.

    Why it matters
        The strings are long. A tenth in the first position of a violin asks for twelve centimetres
        between two fingers; few hands have them, and a section has all kinds of hands.

    How it is computed
        The chord is laid on neighbouring strings in every possible way. A finger n semitones above
        the open string stands at L (1 - 2^(-n/12)) from the nut of a string of length L; open
        strings need no finger. The way that spans least is held against the limit of the hand: the
        comfortable one for school players, the stretched one for all others. A cellist's thumb adds
        a major third from a fifth above the open string on.

    Limits
        Fingers are taken to stand on the strings at the same time, although players break full
        chords and may move between the halves. Chords under div. are not judged, nor a series of
        two notes at a time without a word, which division-not-marked asks about. What no string can
        give is told by stop-needs-same-string. Harmonics and broken chords are left out.

    Sources
        That thirds, sixths, fourths and every stop with an open string lie well: Forsyth. String
        lengths and limits: common practice, no source, chosen so that these verdicts come out.
    """
    bowed(analysis)
    wide = list(_wide(analysis, limits["beyond"]))
    kinds = [((one.instrument, one.limit), one.spot) for one in wide]
    for kind, spots in gathered(kinds):
        places = set(spots)
        worst = max(
            (one for one in wide if one.spot in places), key=lambda one: one.stop.grip.spread
        )
        yield _finding(worst, kind[1], spots)


def _wide(analysis: Analysis, beyond: float) -> Iterator[Wide]:
    for run in analysis.stops:
        limit = _limit(run.hand, analysis.players_level)
        for stop in run.stops:
            if stop.grip.spread > limit + beyond:
                spot = place_spot(run.part, (stop.place,))
                yield Wide(run.line.instrument, limit, stop, spot)


def _limit(hand: Hand, level: PlayersLevel) -> float:
    return hand.comfortable if level is PlayersLevel.SCHOOL else hand.stretched


def _finding(worst: Wide, limit: float, spots: tuple[Spot, ...]) -> Finding:
    notes = [note for chord in worst.stop.place.chords for note in chord.notes]
    fingers = sorted(height for height in worst.stop.grip.heights if height > 0)
    return Finding(
        "stop-beyond-hand",
        spots,
        (
            Evidence("span of the fingers", round(worst.stop.grip.spread), "mm", round(limit)),
            Evidence("lowest finger above the open string", round(fingers[0]), "semitones"),
            Evidence("highest finger above the open string", round(fingers[-1]), "semitones"),
            Evidence("chords", len(spots), "chords"),
        ),
        (("notes", note_names(notes)),),
    )
