"""The check `division-not-marked`."""

from collections.abc import Iterator

from redstave.analysis import Analysis
from redstave.analysis.doubles import Judged, place_spot, told
from redstave.analysis.page import note_names
from redstave.analysis.staffing import staffing
from redstave.checks.registry import CannotJudge, Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding

REASONS = {
    Claim.IMPOSSIBLE: "which no single player can hold",
    Claim.QUESTION: "which one player could hold, or two could share",
}


@check(
    "division-not-marked",
    Claim.QUESTION,
    sources=("reading1", "timusic", "common-practice"),
    settings=(
        Setting(
            "least_places",
            4.0,
            "chords",
            "playable double notes are asked about when at least this many stand together",
            "common-practice",
        ),
    ),
)
def division_not_marked(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Ask about sections that read several notes at once and are not told whether to divide.

    What it reports
        A series of double notes on the stave of a string section with neither div. nor non div. in
        force. Where one player could not hold all of them, the missing word is a fault, and the
        claim is that the passage is impossible as it stands.

    Why it matters
        Divided, each note has half the players and sounds even; undivided, everyone plays double
        stops and the sound is rougher and fuller. Desk partners will not all choose alike.

    How it is computed
        Every moment at which a stave holds more than one pitch is collected; those within a bar of
        each other and under the same word make a passage. Each chord is laid on the strings. A
        passage that can be held throughout is only asked about when enough of it consists of two
        notes without an open string, since open strings and chords of three or four are read as
        stops. What stands in two voices, each of which one player can hold, shows how it is to be
        shared and is a question too. Each part that nobody could play has a finding of its own.

    Limits
        A single chord is left to stop-needs-same-string, and so is everything under non div. or
        solo. Divisions on staves of their own need no word.

    Sources
        reading1 (div. and unis. are always to be explicit), timusic (dividing is nearly always the
        safer reading). That two unmarked notes are read differently is common practice.
    """
    if not any(who.section for who in staffing(analysis.playing).values()):
        raise CannotJudge("no part was recognised as a string section")
    asked: list[Judged] = []
    least = limits["least_places"]
    for part in told(analysis.double_notes):
        proved = [one for one in part.undecided if one.impossible]
        if proved:
            yield _finding(proved, Claim.IMPOSSIBLE)
        else:
            asked += [one for one in part.undecided if len(one.open_questions) >= least]
    if asked:
        yield _finding(asked, Claim.QUESTION)


def _finding(passages: list[Judged], claim: Claim) -> Finding:
    """Make the finding; its notes are the first chord that shows the fault."""
    first = passages[0]
    shown = (first.impossible or first.open_questions)[0]
    return Finding(
        "division-not-marked",
        tuple(place_spot(one.part, one.passage.places) for one in passages),
        (
            Evidence("chords", sum(len(one.passage.places) for one in passages), "chords"),
            Evidence("unplayable chords", sum(len(one.impossible) for one in passages), "chords"),
        ),
        (
            ("notes", note_names(note for chord in shown.chords for note in chord.notes)),
            ("reason", REASONS[claim]),
        ),
        claim,
    )
