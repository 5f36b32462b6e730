"""Sets each `<note>` into its bar: what it says is known from its text, only its place is new."""

from typing import cast

from redstave.model.score import Attributes, Note
from redstave.reading.element import Element, line_of
from redstave.reading.keeper import Fault, Place, Spot
from redstave.reading.note_said import NoteSaid, say_note
from redstave.reading.notevalues import TYPE_QUARTERS
from redstave.reading.pitch import UNPITCHED, Height, say_pitch
from redstave.reading.shape import NONE
from redstave.reading.source import NoteText
from redstave.reading.ties import Tied
from redstave.reading.walk import Walk

_new = tuple.__new__  # for what is made a hundred thousand times: half the time of Note(…)


def read_note(walk: Walk, element: Element, text: NoteText | None) -> None:
    """Keep a note with its ties and the marks that hang on it; `text` is its own, if known.

    A score of thirty thousand notes knows some hundred texts, once the pitch is cut out of them:
    "an eighth of voice 1 with its stem up". What such a text says is kept, and so is each pitch.
    """
    if text is None:
        line = line_of(element)
        alone = say_note(element, line)
        _place(walk, tuple(element.items()), alone, alone.height or UNPITCHED, line)
        return
    line, attributed, told, pitch = text
    own = tuple(element.items()) if attributed else ()
    said = told.said
    if said is None:
        said = told.said = say_note(element, line, pitch is not None)
    if pitch is None:
        _place(walk, own, said, said.height or UNPITCHED, line)
        return
    tall = pitch.said
    if tall is None:
        tall = pitch.said = say_pitch(cast(Element, element.find("pitch")))
    if tall.faults:
        said = _with_faults(said, tall.faults, told.above)
    _place(walk, own, said, tall.height, line)


def _with_faults(said: NoteSaid, faults: tuple[Fault, ...], above: int) -> NoteSaid:
    """Return what a note says, with the problems of its pitch, which begins `above` lines on."""
    early, late = said.faults or ((), ())
    moved = [fault._replace(line=above + fault.line) for fault in faults]
    return said._replace(faults=((*early, *moved), late))


def _place(walk: Walk, own: Attributes, said: NoteSaid, height: Height, line: int) -> None:
    """Set what a note at a line, with its own attributes, says into the bar."""
    shape, _, duration_text, stave, voice, slash, fields, details, held, ends, acts, faults = said
    if faults is not None:
        walk.tell_faults(faults[0], line)
    duration = walk.known_ticks.get(duration_text, -1)
    if duration < 0 or shape.grace:
        duration = _duration(walk, said, line)
    offset, chord = _offset(walk, shape.chord, height.kind, duration, line)
    if stave > walk.staves:
        _announce(walk, stave, line)
    path = walk.path
    count = walk.note_count
    walk.note_count = count + 1
    note = _new(Note, (
        f"{walk.prefix}{count}", line, walk.bar, offset, duration, stave, voice, *height, chord,
        shape.grace, slash, shape.cue, ("print-object", "no") in own, *fields,
        own + details if own else details, shape.names, path, held,
    ))  # fmt: skip
    walk.notes.append(note)
    if faults is not None:
        walk.tell_faults(faults[1], line)
    if ends is not None:
        _tie(walk, note, ends)
    if acts:
        walk.tell(acts, Spot(line, path), Place(offset, stave, voice, note.id))


def _duration(walk: Walk, said: NoteSaid, line: int) -> int:
    if said.shape.grace:
        return 0
    if said.shape.duration == NONE:
        return _duration_of_type(walk, said, line)
    return walk.ticks(said.duration, line)


def _tie(walk: Walk, note: Note, ends: tuple[tuple[Tied, ...], tuple[Tied, ...]]) -> None:
    starts, stops = ends
    tick = walk.tick(note.offset)
    for tied in stops:
        walk.ties.stop(note, tick, tied)
    for tied in starts:
        walk.ties.start(note, tick, tied)


def _duration_of_type(walk: Walk, said: NoteSaid, line: int) -> int:
    name, dots, actual, normal = said.fields[4:8]
    quarters = TYPE_QUARTERS.get(name, 0.0) * (2 - 0.5**dots)
    ticks = round(quarters * walk.ticks_per_quarter * normal / actual)
    assumed = f"that of its type, {name}, was assumed" if ticks else "0 was assumed"
    walk.problem("no-duration", f"The note has no duration; {assumed}.", line)
    return ticks


def _offset(walk: Walk, chord: bool, kind: str, duration: int, line: int) -> tuple[int, bool]:
    """Return where the note stands and whether it shares a chord with the note before."""
    if chord:
        if walk.chord_onset is not None:
            return walk.chord_onset, True
        walk.problem(
            "chord-without-note",
            "The note says that it belongs to a chord but no note stands before it; "
            "it was read as a note of its own.",
            line,
        )
    offset = walk.cursor
    walk.chord_onset = offset
    if duration:
        end = walk.cursor = offset + duration
        if end > walk.furthest:
            walk.furthest = end
        if kind != "rest" and end > walk.sounding:
            walk.sounding = end
    return offset, False


def _announce(walk: Walk, stave: int, line: int) -> None:
    said = f"A note stands on stave {stave}, but the part announces {walk.staves}."
    walk.problem("stave-not-announced", said, line)
    walk.staves = stave
