"""The check `equal-pitch-slur`."""

from collections.abc import Iterator, Mapping

from redstave.analysis import Analysis
from redstave.analysis.page import Slurred, marks_by_note, note_names, slurred, spot
from redstave.analysis.staffing import staffing
from redstave.checks.registry import Limits, check
from redstave.model.finding import Claim, Evidence, Finding
from redstave.model.score import Mark, Part

SEPARATED = frozenset({"staccato", "tenuto", "detached-legato", "accent"})


@check("equal-pitch-slur", Claim.QUESTION, sources=("silverman", "common-practice"))
def equal_pitch_slur(analysis: Analysis, _: Limits) -> Iterator[Finding]:
    """Ask whether a slur between two equal notes should be a tie.

    What it reports
        A slur over exactly two neighbouring notes of one pitch, without dots or dashes.

    Why it matters
        Tie and slur look almost alike and mean the opposite: one note or two. The player takes what
        is printed, and the next desk takes the other.

    How it is computed
        Slurs whose two ends hang on neighbouring single notes of the same written pitch, not tied,
        neither carrying a sign of separation.

    Limits
        Winds are left to slur-over-equal-notes. On strings the sign can mean two pushes in one bow.

    Sources
        silverman: a slur between equal pitches is suspect. The exceptions: common practice.
    """
    crew = staffing(analysis.playing)
    for part in analysis.score.parts:
        family = crew[part.id].family if part.id in crew else "unknown"
        if family in {"woodwind", "brass", "unknown"}:
            continue
        marks = marks_by_note(part)
        found = [one for one in slurred(analysis.score, part) if _suspect(one, marks)]
        if found:
            yield _finding(part, found)


def _suspect(one: Slurred, marks: Mapping[str, tuple[Mark, ...]]) -> bool:
    if len(one.chords) != 2 or any(len(chord.notes) != 1 for chord in one.chords):
        return False
    first, second = (chord.head for chord in one.chords)
    if first.tie_start or second.tie_stop or first.written_midi != second.written_midi:
        return False
    carried = [mark for note in (first, second) for mark in marks.get(note.id, ())]
    return not any(mark.name in SEPARATED for mark in carried)


def _finding(part: Part, found: list[Slurred]) -> Finding:
    notes = [chord.head for one in found for chord in one.chords]
    return Finding(
        "equal-pitch-slur",
        tuple(spot(part, one.chords) for one in found),
        (Evidence("slurs between two equal notes", len(found), "slurs"),),
        (("notes", note_names(notes)),),
    )
