"""Where a note stands on its stave: how many ledger lines it needs."""

from bisect import bisect_right
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from redstave.model.score import Mark, Note, Part

STEPS = "CDEFGAB"
PITCH_ON_LINE = {"G": ("G", 4), "F": ("F", 3), "C": ("C", 4)}
USUAL_LINE = {"G": 2, "F": 4, "C": 3}
TOP = 8  # the highest line, in places above the lowest


class Clef(NamedTuple):
    """A clef from a place (bar, offset) on; `lowest` is the diatonic place of the lowest line."""

    place: tuple[int, int]
    lowest: int


def clefs(part: Part) -> Mapping[int, Sequence[Clef]]:
    """Return the clefs of each stave in order; percussion and tablature clefs are left out."""
    found: dict[int, list[Clef]] = {stave: [] for stave in range(1, part.staves + 1)}
    for mark in part.marks_of("clef"):
        if mark.name in PITCH_ON_LINE:
            for stave in found if mark.stave == 0 else (mark.stave,):
                found.setdefault(stave, []).append(_clef(mark))
    return {stave: sorted(marks) for stave, marks in found.items()}


def ledger_lines(given: Mapping[int, Sequence[Clef]], note: Note) -> int:
    """Return the ledger lines of a note: positive above the stave, negative below, 0 on it.

    Without a clef the note counts as standing on the stave.
    """
    here = given.get(note.stave, ())
    at = bisect_right(here, (note.bar, note.offset), key=lambda clef: clef.place)
    if at == 0 or note.kind != "pitched":
        return 0
    place = STEPS.index(note.step) + 7 * note.octave - here[at - 1].lowest
    if place > TOP:
        return (place - TOP) // 2
    return -(-place // 2) if place < 0 else 0


def _clef(mark: Mark) -> Clef:
    step, octave = PITCH_ON_LINE[mark.name]
    line = round(mark.value) or USUAL_LINE[mark.name]
    change = next((one.text for one in mark.inside if one.name == "clef-octave-change"), "0")
    octaves = int(change) if change.strip().lstrip("-").isdigit() else 0
    lowest = STEPS.index(step) + 7 * (octave + octaves) - 2 * (line - 1)
    return Clef((mark.bar, mark.offset), lowest)
