"""Signs on single notes: stopped, open, plucked, harmonics, tremolo strokes."""

from typing import NamedTuple

from redstave.model.line import TechniquePoint
from redstave.model.score import Note, Part

ChordKey = tuple[int, int, int, str, bool]
# A cross over a string player's note is a pizzicato of the left hand (common practice).
_SIGNS = {
    "stopped": "stopped", "open": "open", "harmonic": "harmonic", "snap-pizzicato": "pizz",
    "harmon-mute": "mute",
}  # fmt: skip
_CIRCLES = frozenset({"o", "O", "0", "°", "º"})  # many programs offer the circle only as a word
_BEAMS = {"eighth": 1, "16th": 2, "32nd": 3, "64th": 4, "128th": 5}
UNMEASURED_FROM = 3  # beams and strokes of a demisemiquaver; common practice, no source


class Signs(NamedTuple):
    """The signs of a part by chord: techniques, and tremolo strokes as drawn."""

    techniques: dict[ChordKey, str]
    strokes: dict[ChordKey, float]


def chord_key(note: Note) -> ChordKey:
    """Return what the notes of one chord share; a sign on one of them is for all."""
    return note.bar, note.offset, note.stave, note.voice, note.grace


def signs_of(part: Part, family: str) -> Signs:
    """Return what the signs of a part say, by chord."""
    signed: dict[str, str] = {}
    strokes: dict[str, float] = {}
    circles: set[tuple[int, int, int]] = set()
    stringed = family in {"strings", "harp"}
    for mark in part.marks:
        if mark.kind == "technical" and mark.name in _SIGNS and mark.note:
            sign = _SIGNS[mark.name]
            signed[mark.note] = "pizz" if sign == "stopped" and family == "strings" else sign
        elif mark.kind == "tremolo" and mark.note:
            strokes[mark.note] = mark.value
        elif stringed and mark.kind == "word" and mark.text.strip() in _CIRCLES:
            circles.add((mark.bar, mark.offset, mark.stave))
    if not (signed or strokes or circles):
        return Signs({}, {})
    techniques = {chord_key(note): signed[note.id] for note in part.notes if note.id in signed}
    for note in part.notes:
        if (note.bar, note.offset, note.stave) in circles and note.kind == "pitched":
            techniques.setdefault(chord_key(note), "harmonic")
    return Signs(
        techniques, {chord_key(note): strokes[note.id] for note in part.notes if note.id in strokes}
    )


def is_measured(note: Note, strokes: float, point: TechniquePoint) -> bool:
    """Whether the strokes of a tremolo are to be counted.

    Words decide ("trem.", "misurato"); without them it is measured as long as its beams and strokes
    together are fewer than those of a demisemiquaver. Zero strokes mark it as unmeasured.
    """
    if point.measured or point.tremolo:
        return point.measured
    return strokes > 0 and _BEAMS.get(note.type, 0) + strokes < UNMEASURED_FROM
