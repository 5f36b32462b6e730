"""From written to sounding pitch.

MusicXML 4.0 writes the pitch a player of the part reads and gives the way to the sounding pitch in
`<transpose>`: chromatic semitones plus octaves. An octave line needs nothing: the file's pitches
already stand where they sound and the line only moves the picture (MusicXML 4.0, `octave-shift`:
notes are shown shifted from their true pitched values); the same is true of clefs with an 8.
"""

from bisect import bisect_right
from collections import defaultdict

from redstave.model.score import Part, Score

Shifts = dict[int, tuple[tuple[int, float], ...]]


def shifts(score: Score, part: Part) -> Shifts:
    """Return the semitones from written to sounding pitch of each stave, as (from tick, shift)."""
    found: dict[int, list[tuple[int, float]]] = defaultdict(list)
    for mark in part.marks_of("transposition"):
        tick = score.bars[mark.bar].start + mark.offset
        staves = [mark.stave] if mark.stave else range(1, part.staves + 1)
        for stave in staves:
            found[stave].append((tick, mark.value))
    return {stave: tuple(sorted(ones)) for stave, ones in found.items()}


def shift_at(found: Shifts, stave: int, tick: int) -> float:
    """Return the shift in force on a stave; 0 when the file gives none."""
    ones = found.get(stave)
    if not ones:
        return 0.0
    if len(ones) == 1:  # as nearly always
        return ones[0][1] if ones[0][0] <= tick else 0.0
    index = bisect_right(ones, tick, key=lambda one: one[0]) - 1
    return ones[index][1] if index >= 0 else 0.0


def first_shift(part: Part) -> int | None:
    """Return the first transposition of a part in semitones, None when the file gives none."""
    marks = next(part.marks_of("transposition"), None)
    return None if marks is None else round(marks.value)
