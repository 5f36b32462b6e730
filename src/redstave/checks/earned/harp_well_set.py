"""The credit `harp-well-set`."""

from collections.abc import Iterator, Sequence

from redstave.analysis import Analysis
from redstave.analysis.harp import Moment, late, moves, plan, playable
from redstave.analysis.spots import bars_spot
from redstave.analysis.struck import Struck, struck
from redstave.analysis.tables import cited
from redstave.checks.needs import harps, too_few
from redstave.checks.registry import Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding


@check(
    "harp-well-set",
    Claim.CREDIT,
    sources=("volpe", "compharp", "common-practice"),
    settings=(
        Setting("least_chords", 12.0, "chords", "with fewer nothing is shown", "common-practice"),
        Setting(
            "most_moves",
            0.25,
            "moves a chord",
            "the best plan may need no more pedal moves than this",
            "common-practice",
        ),
    ),
)
def harp_well_set(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Praise a harp part that lies well for fingers and feet.

    What it reports
        A harp part whose every chord can be set, with few pedal moves, all of them in time.

    Why it matters
        The harpist will find the writer knows the instrument, and plays where others would mend.

    How it is computed
        The plan of settings with the fewest moves is searched; it must be possible throughout, with
        at most most_moves for each chord and none that comes too late.

    Limits
        Whether the harp is heard is another question: see plucked-line-covered.

    Sources
        volpe and compharp: pedals and letters. The numbers: common practice.
    """
    for part in harps(analysis):
        chords = struck(analysis.score, part)
        if len(chords) < limits["least_chords"]:
            raise too_few(len(chords), "chord for the harp", "chords for the harp")
        moments = _moments(analysis, chords)
        if not all(playable(moment.pitches) for moment in moments):
            continue
        made = moves(moments, plan(moments))
        few = len(made) <= limits["most_moves"] * len(chords)
        if few and not late(made, cited("harp", "pedal").number):
            yield Finding(
                "harp-well-set",
                (bars_spot(analysis, chords[0].chords[0].head.bar, chords[-1].chords[0].head.bar),),
                (
                    Evidence("chords", len(chords), "chords"),
                    Evidence("pedal moves of the best plan", len(made), "moves"),
                ),
            )


def _moments(analysis: Analysis, chords: Sequence[Struck]) -> list[Moment]:
    """Return when each chord is struck, and its pitch classes."""
    seconds = analysis.playing.tempo.seconds
    return [
        Moment(seconds(one.tick), frozenset(round(note.written_midi) % 12 for note in one.notes))
        for one in chords
    ]
