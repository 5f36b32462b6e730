"""The check `foreign-tones-added`."""

from collections.abc import Iterable, Iterator

from redstave.analysis import Analysis
from redstave.analysis.compass import sounding_name
from redstave.analysis.page import in_words
from redstave.checks.grouping import gathered, joined
from redstave.checks.needs import with_original
from redstave.checks.registry import Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding, Spot
from redstave.original.foreign import Foreign, foreign_tones

MOST_NAMES = 4


@check(
    "foreign-tones-added",
    Claim.QUESTION,
    sources=("common-practice",),
    settings=(
        Setting(
            "least_quarters",
            1.0,
            "quarter notes",
            "shorter tones pass and belong to added lines",
            "common-practice",
        ),
    ),
)
def foreign_tones_added(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Ask about sustained tones that are foreign to the harmony of the piano piece.

    What it reports
        Tones whose pitch the piano does not have near that bar in any octave, and which rub for a
        beat or more against one that it sounds a semitone away.

    Why it matters
        An added line is welcome; a wrong accidental or a transposition gone wrong looks the same
        on the page and is heard by everybody.

    How it is computed
        Each tone of the score that comes from no tone of the piano is compared with all pitches of
        the piano in that bar and the two beside it, and with those that sound at the same time.

    Limits
        Suspensions and pedals that are added on purpose are asked about too.

    Sources
        Common practice, no source; the limit is ours.
    """
    with_original(analysis)
    places = [
        (_spot(analysis, one), one) for one in foreign_tones(analysis, limits["least_quarters"])
    ]
    for _, spots in gathered(("", spot) for spot, _ in places):
        found = [one for spot, one in places if spot in spots]
        yield Finding(
            "foreign-tones-added",
            joined(spots),
            (Evidence("tones that the piano does not have", len(found), "tones"),),
            (("tones", _pairs(found)),),
        )


def _pairs(found: Iterable[Foreign]) -> str:
    """Return which tone rubs against which: "E4 against the piano's E♭4 and C4 against C♯4"."""
    pairs = dict.fromkeys((sounding_name(one.midi), sounding_name(one.against)) for one in found)
    (here, there), *others = list(pairs)[:MOST_NAMES]
    return in_words(
        [f"{here} against the piano's {there}", *(f"{a} against {b}" for a, b in others)]
    )


def _spot(analysis: Analysis, one: Foreign) -> Spot:
    note = analysis.score.notes_by_id[one.notes[0]]
    part = analysis.playing.lines[one.line].part
    return Spot(note.bar, note.offset, part, note.stave, note.bar, one.notes[:1])
