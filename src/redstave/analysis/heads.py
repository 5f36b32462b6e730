"""Notes whose print does not show what sounds: harmonics and their touched notes.

An artificial harmonic is a chord of the stopped note, a diamond and often the sounding note; over
ties the diamond is not repeated. A small circle is often a word, because few programs offer it as
a sign (common practice).
"""

from redstave.analysis.page import Chord, by_voice, chords, marks_by_note
from redstave.model.score import Note, Part, Score

OTHER_HEADS = frozenset({"diamond", "x", "cross", "circle-x", "slash", "triangle", "circled"})
CIRCLES = frozenset({"O", "o", "0", "°", "º"})


def not_as_printed(score: Score, part: Part) -> frozenset[str]:
    """Return the ids of the notes that are harmonics, touched notes, or have another head."""
    signed = {
        note
        for note, marks in marks_by_note(part).items()
        if any(mark.name == "harmonic" for mark in marks)
    }
    circled = {
        (mark.bar, mark.offset, mark.stave)
        for mark in part.marks_of("word")
        if mark.text.strip() in CIRCLES
    }
    found: set[str] = set()
    for voice in by_voice(chords(score, part)).values():
        before: Chord | None = None
        for chord in voice:
            if any(_is_other(note, signed, circled) for note in chord.notes) or (
                before is not None and _held_over(before, chord) and before.ids[0] in found
            ):
                found.update(chord.ids)
            before = chord
    return frozenset(found)


def _is_other(note: Note, signed: set[str], circled: set[tuple[int, int, int]]) -> bool:
    return (
        note.id in signed
        or (note.bar, note.offset, note.stave) in circled
        or dict(note.details).get("notehead") in OTHER_HEADS
    )


def _held_over(one: Chord, two: Chord) -> bool:
    return one.stop == two.start and all(note.tie_stop for note in two.notes)
