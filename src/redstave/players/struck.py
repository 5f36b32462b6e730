"""Which of two percussion instruments on one stave a single note is for.

The file may say it for each note; else noteheads tell, where a drum shares the stave with metal
(crosses and diamonds are the metal's); else two places on the stave, of which the upper is the
higher instrument's; else a line kept in a lower voice (all common practice, no source). What none
of these decides is left to words, and to a question.
"""

from collections import defaultdict
from collections.abc import Mapping, Sequence

from redstave.instruments.names import resolve_name
from redstave.model.line import Line
from redstave.model.score import Note, Part
from redstave.players.page import is_played
from redstave.players.texture import Texture

UNDECIDED = "two-instruments-one-note"
_METAL = frozenset(
    {"cymbals", "suspended-cymbal", "triangle", "tam-tam", "cowbell", "sleigh-bells", "crotales"}
    | {"hi-hat", "finger-cymbals", "anvil", "bell-tree", "wind-chimes", "thunder-sheet"}
)
_DRUMS = frozenset(
    {"bass-drum", "snare-drum", "tenor-drum", "tambourine", "tom-tom", "taiko", "bongos", "congas"}
)
_CROSSES = frozenset({"x", "cross", "circle-x", "diamond", "triangle", "inverted triangle"})
_STEPS = "CDEFGAB"


def struck_lines(part: Part, counted: Texture, lines: Sequence[Line], low: int) -> dict[str, int]:
    """Return the line (index) of each note that the page gives to one of two instruments.

    `low` is the line of the lower instrument; {} unless there are two, both of percussion.
    """
    if len(lines) != 2 or any(line.family != "percussion" for line in lines):
        return {}
    notes = [note for note in part.notes if is_played(note)]
    alone = [note for note in notes if counted.stand(note).total == 1]
    told = _by_voice(alone, low) | _by_place(notes, low) | _by_head(notes, lines)
    return told | _by_declaration(part, notes, lines)


def _by_declaration(part: Part, notes: Sequence[Note], lines: Sequence[Line]) -> dict[str, int]:
    """Follow the instrument that the file names for a note."""
    known = {line.instrument: index for index, line in enumerate(lines)}
    declared: dict[str, int] = {}
    for one in part.instruments:
        kind = resolve_name(one.name, sounds=[one.sound] if one.sound else ()).instrument
        if kind in known:
            declared[one.id] = known[kind]
    if len(set(declared.values())) < 2:
        return {}
    return {note.id: declared[note.instrument] for note in notes if note.instrument in declared}


def _by_head(notes: Sequence[Note], lines: Sequence[Line]) -> dict[str, int]:
    """Tell a drum from metal by the noteheads, where both kinds of them occur."""
    metal = [index for index, line in enumerate(lines) if line.instrument in _METAL]
    drum = [index for index, line in enumerate(lines) if line.instrument in _DRUMS]
    crossed = {note.id: _head(note) in _CROSSES for note in notes}
    if not metal or not drum or len(set(crossed.values())) < 2:
        return {}
    return {id_: metal[0] if cross else drum[0] for id_, cross in crossed.items()}


def _head(note: Note) -> str:
    return next((text for name, text in note.details if name == "notehead"), "normal")


def _by_place(notes: Sequence[Note], low: int) -> dict[str, int]:
    """Tell the two apart by two places on the stave."""
    places = {note.id: note.octave * 7 + _STEPS.index(note.step) for note in notes if note.step}
    used = sorted(set(places.values()))
    if len(used) != 2:
        return {}
    return {id_: low if place == used[0] else 1 - low for id_, place in places.items()}


def _by_voice(notes: Sequence[Note], low: int) -> dict[str, int]:
    """Give single notes in a voice below the first to the lower instrument."""
    voices: Mapping[str, list[str]] = defaultdict(list)
    for note in notes:
        voices[note.voice].append(note.id)
    upper = min(voices, key=lambda name: (int(name) if name.isdecimal() else 0, name), default="")
    return {id_: low for name, ids in voices.items() if name != upper for id_ in ids}
