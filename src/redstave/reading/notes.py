"""Sets each `<note>` into its bar: what it says is known from its text, only its place is new.

A score of thirty thousand notes knows some hundred texts, once the pitch is cut out of them, and
where they are drawn: "an eighth of voice 1 with its stem up". What such a text says is kept, and so
is each pitch.
"""

from collections.abc import Iterable
from typing import Any, cast

from redstave.model.score import Note
from redstave.reading.blanks import filled, plan_of
from redstave.reading.cut import UnsureError
from redstave.reading.element import Element, line_of
from redstave.reading.keeper import Act, Fault
from redstave.reading.note_said import (
    OPEN,
    WORDED,
    Ends,
    Faults,
    NoteSaid,
    Plain,
    say_notations,
    say_note,
)
from redstave.reading.notevalues import TYPE_QUARTERS
from redstave.reading.parted import NotationsSaid, NotationsText, both, joined
from redstave.reading.patterns import Pattern, shows_sign
from redstave.reading.pitch import UNPITCHED, Height, say_pitch
from redstave.reading.steps import Values
from redstave.reading.told import Body, NoteText, PitchText
from redstave.reading.walk import Walk

_new = tuple.__new__  # for what is made a hundred thousand times: half the time of Note(…)

_KNOWN = 500
_PATHS = tuple(map(str, range(_KNOWN)))  # for equal paths to be one object
_HIDDEN = "print-object", "no"


def read_note(walk: Walk, element: Element) -> None:
    """Keep a note with its ties and the marks that hang on it."""
    line = line_of(element)
    body = Body(0, 0, Pattern(), ())
    read_notes(walk, element, [(line, None, (body, None, 0), ())])


def read_notes(walk: Walk, element: Element, texts: Iterable[NoteText]) -> None:
    """Keep the notes that have these texts; `element` is that of the first one that is new."""
    prefix, bar, keep, known = walk.prefix, walk.bar, walk.notes.append, walk.known_ticks.get
    position, count = walk.position, walk.note_count
    for position, (line, own, told, values) in enumerate(texts, walk.position + 1):
        body, pitch, _ = told
        said = body.said or _say(body, element, line, pitch is not None, bool(values))
        height, length, stave, voice, fields, names, details, held, ends, acts, faults = said
        if body.plan is not None:
            details, held, ends, acts, faults = filled(said[OPEN:], body.plan, values)
        behind = line
        if pitch is not None:
            height = pitch.height or _say_pitch(pitch, element)
            behind += pitch.lines - body.pattern.breaks
            faults = _with_pitch(faults, body, pitch) if faults or pitch.faults else None
        own = tuple(element.items()) if own is None else own
        if faults is not None:
            walk.tell_faults(faults[0], line)
        duration = known(length, -1)
        chord, grace = fields[0], fields[1]
        if duration < 0 or grace:
            duration = 0 if grace else _duration(walk, length, names, fields, line)
        kind, step, alter, octave = height or UNPITCHED
        first = walk.chord_onset if chord else None
        if chord and first is None:
            _report_chord(walk, line)
        offset = walk.go_behind(duration, kind != "rest") if first is None else first
        if stave > walk.staves:
            _announce(walk, stave, line)
        path = _PATHS[position] if position < _KNOWN else str(position)
        begin = (f"{prefix}{count}", line, bar, offset, duration, stave, voice,
                 kind, step, alter, octave)  # fmt: skip
        note = _new(Note, begin + fields + (own + details if own else details, names, path, held))
        count += 1
        if (chord and first is None) or _HIDDEN in own:
            note = note._replace(chord=first is not None, hidden=_HIDDEN in own)
        keep(note)
        if acts or ends is not None or faults is not None:
            _hang(walk, note, behind, ends, acts, values, faults)
    walk.position, walk.note_count = position, count


def _say(body: Body, element: Element, line: int, apart: bool, is_blank: bool) -> Plain:
    """Return what a body says that has not been met before; its pitch is told `apart` or not."""
    pattern, words, half = body.pattern, body.words, body.notations
    if pattern.said is None:
        said = say_note(element, line, apart, bool(words), half is not None)
        if half is not None and said.acts:  # what hangs on it is not in its notations alone
            raise UnsureError
        _read_pattern(pattern, said, len(words), is_blank)
    note, plan = cast(Plain, pattern.told(words)), pattern.plan
    height, length, stave, *others = note
    if stave < 0:  # a word tells it
        note = cast(Plain, (height, length, int(words[-1 - stave]), *others))
    if half is not None:
        notations, under = half
        told = notations.said or _say_notations(notations, element, is_blank)
        note, plan = joined(note, told, under), both(plan, notations.plan)
    body.said, body.plan = note, plan
    return note


def _read_pattern(pattern: Pattern, said: NoteSaid, words: int, is_blank: bool) -> None:
    plan = None
    if is_blank:
        acts, plan = plan_of(said[OPEN:])
        said = said._replace(acts=acts)
    faults = [fault for some in said.faults or () for fault in some]
    if words and any(shows_sign(fault.text) for fault in faults):
        raise UnsureError
    pattern.read((*said,), plan, words, WORDED)


def _say_notations(text: NotationsText, element: Element, is_blank: bool) -> NotationsSaid:
    """Read notations that have not been met before."""
    notations = cast(Element, element.find("notations"))
    said = say_notations(notations, line_of(notations))
    if said is None:
        raise UnsureError
    ends, acts = said
    if is_blank:
        acts, text.plan = plan_of(((), (), ends, acts, None))
    text.said = NotationsSaid(*ends, acts)
    return text.said


def _say_pitch(pitch: PitchText, element: Element) -> Height:
    """Read a pitch that has not been met before."""
    height, pitch.faults = say_pitch(cast(Element, element.find("pitch")))
    pitch.height = height
    return height


def _with_pitch(faults: Faults | None, body: Body, pitch: PitchText) -> Faults:
    """Return the problems of a note and its pitch; those at the note's own line stay there."""
    early, late = faults or ((), ())
    further = pitch.lines - body.pattern.breaks
    moved = [fault._replace(line=body.above + fault.line) for fault in pitch.faults]
    return (*_moved(early, further), *moved), _moved(late, further)


def _moved(faults: tuple[Fault, ...], lines: int) -> tuple[Fault, ...]:
    return tuple([f._replace(line=f.line + lines) if f.line else f for f in faults])


def _duration(
    walk: Walk, text: str | None, names: tuple[str, ...], fields: tuple[Any, ...], line: int
) -> int:
    if "duration" in names:
        return walk.ticks(text, line)
    name, dots, actual, normal = fields[9:13]
    quarters = TYPE_QUARTERS.get(name, 0.0) * (2 - 0.5**dots)
    ticks: int = round(quarters * walk.ticks_per_quarter * normal / actual)
    assumed = f"that of its type, {name}, was assumed" if ticks else "0 was assumed"
    walk.problem("no-duration", f"The note has no duration; {assumed}.", line)
    return ticks


def _hang(
    walk: Walk,
    note: Note,
    behind: int,
    ends: Ends | None,
    acts: tuple[Act, ...],
    values: Values,
    faults: Faults | None,
) -> None:
    """Keep what hangs on a note; lines of acts count from `behind`."""
    if faults is not None:
        walk.tell_faults(faults[1], note.line)
    if ends is not None:
        starts, stops = ends
        tick = walk.tick(note.offset)
        for tied in stops:
            walk.ties.stop(note, tick, tied)
        for tied in starts:
            walk.ties.start(note, tick, tied)
    if acts:
        walk.tell(acts, values, behind, note.path, note.offset, note.stave, note.voice, note.id)


def _report_chord(walk: Walk, line: int) -> None:
    walk.problem(
        "chord-without-note",
        "The note says that it belongs to a chord but no note stands before it; "
        "it was read as a note of its own.",
        line,
    )


def _announce(walk: Walk, stave: int, line: int) -> None:
    said = f"A note stands on stave {stave}, but the part announces {walk.staves}."
    walk.problem("stave-not-announced", said, line)
    walk.staves = stave
