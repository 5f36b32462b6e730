"""The check `stop-needs-same-string`."""

from collections.abc import Iterator

from redstave.analysis import Analysis
from redstave.analysis.division import Says
from redstave.analysis.doubles import Judged, place_spot, told
from redstave.analysis.page import note_names
from redstave.analysis.staffing import staffing
from redstave.checks.grouping import gathered
from redstave.checks.registry import CannotJudge, Limits, check
from redstave.instruments.tuning import tuning
from redstave.model.finding import Claim, Evidence, Finding, Spot

Kind = tuple[str, Claim]


@check(
    "stop-needs-same-string",
    Claim.IMPOSSIBLE,
    sources=("lunanova", "wpstop", "common-practice"),
)
def stop_needs_same_string(analysis: Analysis, _: Limits) -> Iterator[Finding]:
    """Find chords of bowed strings that no single player can hold.

    What it reports
        A double, triple or quadruple stop whose notes cannot each have a string of their own, on
        neighbouring strings.

    Why it matters
        A string gives one note at a time. However the hand is placed, two notes that only one
        string has cannot sound together.

    How it is computed
        Sounding pitches are laid on the open strings from the lowest up; each must lie between its
        open string and the top of the fingerboard, and the strings used must stand side by side.
        The check speaks where nobody divides: under non div., under solo, in a part for one player,
        and at a single chord of a section that has no word. Such a single chord of two notes, and a
        chord under solo on a section's stave, is a risk only, since the players may divide it.

    Limits
        A series of chords without any word is told by division-not-marked, once. Chords under div.
        are not judged, nor broken chords, harmonics and touched notes. How far the hand can stretch
        is not considered. A double bass is taken with four strings and an extension.

    Sources
        lunanova and wpstop: neighbouring strings, one for each note. Tuning: common practice.
    """
    bowed = tuning().keys()
    if not any(who.instrument in bowed for who in staffing(analysis.playing).values()):
        raise CannotJudge("no part was recognised as a bowed string instrument")
    stops = [stop for part in told(analysis.double_notes) for stop in part.stops]
    for (notes, claim), spots in gathered(item for stop in stops for item in _faulty(stop)):
        count = Evidence("unplayable chords", len(spots), "chords")
        yield Finding("stop-needs-same-string", spots, (count,), (("notes", notes),), claim)


def _faulty(stop: Judged) -> Iterator[tuple[Kind, Spot]]:
    for place in stop.impossible:
        notes = [note for chord in place.chords for note in chord.notes]
        claim = Claim.RISK if _may_divide(stop, len(notes)) else Claim.IMPOSSIBLE
        yield (note_names(notes), claim), place_spot(stop.part, (place,))


def _may_divide(stop: Judged, notes: int) -> bool:
    """Tell whether the players are likely to divide the chord without being told."""
    if not stop.section or stop.passage.says is Says.UNDIVIDED:
        return False
    return stop.passage.says is Says.ALONE or notes == 2
