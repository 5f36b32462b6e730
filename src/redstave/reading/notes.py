"""Sets each `<note>` into its bar: what it says is known from its text, only its place is new."""

from collections.abc import Iterable
from typing import cast

from redstave.model.score import Note
from redstave.reading.blanks import filled, plan_of
from redstave.reading.element import Element, line_of
from redstave.reading.note_said import Ready, ready, say_note
from redstave.reading.notevalues import TYPE_QUARTERS
from redstave.reading.pitch import say_pitch
from redstave.reading.texts import Body, NoteText, Told
from redstave.reading.ties import Tied
from redstave.reading.walk import Walk

_new = tuple.__new__  # for what is made a hundred thousand times: half the time of Note(…)

_HIDDEN = "print-object", "no"


def read_note(walk: Walk, element: Element) -> None:
    """Keep a note with its ties and the marks that hang on it."""
    line = line_of(element)
    body = Body(0)
    body.said = say_note(element, line)
    told = Told(0, body, None)
    read_notes(walk, element, [(line, None, told, ())])


def read_notes(walk: Walk, element: Element, texts: Iterable[NoteText]) -> None:
    """Keep the notes that have these texts; `element` is that of the first one that is new.

    A score of thirty thousand notes knows some hundred texts, once the pitch is cut out of them,
    and where they are drawn: "an eighth of voice 1 with its stem up". What such a text says is
    kept, and so is each pitch.
    """
    prefix, bar, keep, known = walk.prefix, walk.bar, walk.notes.append, walk.known_ticks.get
    position, count = walk.position, walk.note_count
    for line, own, told, values in texts:
        said = told.ready or _ready(told, element, line, bool(values))
        chord, grace, length, stave, voice, fields, names, details, held, ends, acts, faults = said
        if values:
            blank = details, held, ends, acts, faults
            details, held, ends, acts, faults = filled(blank, told.body.plan, values)
        own = tuple(element.items()) if own is None else own
        if faults is not None:
            walk.tell_faults(faults[0], line)
        duration = known(length, -1)
        if duration < 0 or grace:
            duration = 0 if grace else _duration(walk, said, line)
        first = walk.chord_onset if chord else None
        is_rest = fields[0] == "rest"
        offset = _offset(walk, chord, is_rest, duration, line) if first is None else first
        if stave > walk.staves:
            _announce(walk, stave, line)
        position += 1
        path = str(position)
        begin = f"{prefix}{count}", line, bar, offset, duration, stave, voice
        end = own + details if own else details, names, path, held
        note = _new(Note, begin + fields + end)
        count += 1
        if (chord and first is None) or _HIDDEN in own:
            note = note._replace(chord=first is not None, hidden=_HIDDEN in own)
        keep(note)
        if faults is not None:
            walk.tell_faults(faults[1], line)
        if ends is not None:
            _tie(walk, note, ends)
        if acts:
            walk.tell(acts, line, path, offset, stave, voice, note.id)
    walk.position, walk.note_count = position, count


def _ready(told: Told, element: Element, line: int, is_blank: bool) -> Ready:
    """Set out what a text says that has not been met before."""
    body, pitch = told.body, told.pitch
    if body.said is None:
        body.said = say_note(element, line, pitch is not None)
        if is_blank:
            body.plan = plan_of(body.said.open)
    if pitch is not None and pitch.said is None:
        pitch.said = say_pitch(cast(Element, element.find("pitch")))
    told.ready = ready(body.said, None if pitch is None else pitch.said, body.above)
    return told.ready


def _duration(walk: Walk, said: Ready, line: int) -> int:
    if "duration" in said.names:
        return walk.ticks(said.duration, line)
    name: str = said.fields[13]
    dots, actual, normal = said.fields[14:17]
    quarters = TYPE_QUARTERS.get(name, 0.0) * (2 - 0.5**dots)
    ticks: int = round(quarters * walk.ticks_per_quarter * normal / actual)
    assumed = f"that of its type, {name}, was assumed" if ticks else "0 was assumed"
    walk.problem("no-duration", f"The note has no duration; {assumed}.", line)
    return ticks


def _tie(walk: Walk, note: Note, ends: tuple[tuple[Tied, ...], tuple[Tied, ...]]) -> None:
    starts, stops = ends
    tick = walk.tick(note.offset)
    for tied in stops:
        walk.ties.stop(note, tick, tied)
    for tied in starts:
        walk.ties.start(note, tick, tied)


def _offset(walk: Walk, chord: bool, is_rest: bool, duration: int, line: int) -> int:
    """Return where a note stands that shares no chord with the one before, and go behind it."""
    if chord:
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
        if not is_rest and end > walk.sounding:
            walk.sounding = end
    return offset


def _announce(walk: Walk, stave: int, line: int) -> None:
    said = f"A note stands on stave {stave}, but the part announces {walk.staves}."
    walk.problem("stave-not-announced", said, line)
    walk.staves = stave
