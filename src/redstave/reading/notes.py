"""Reads one `<note>`: pitch, length and ties first, then what hangs on it at its known place."""

from functools import lru_cache
from typing import NamedTuple

from redstave.model.score import STEP_SEMITONES, Inner, Note
from redstave.reading.draft import UNSAID, Draft
from redstave.reading.element import Element, line_of
from redstave.reading.inner import inner
from redstave.reading.keep import content
from redstave.reading.notations import read_notation
from redstave.reading.notevalues import TYPE_QUARTERS
from redstave.reading.numbers import clean, decimal, whole
from redstave.reading.shape import NONE, Shape, shape_of
from redstave.reading.ties import Tied
from redstave.reading.walk import Place, Walk


class Height(NamedTuple):
    """Where a note stands on its stave; `kind` as in a Note."""

    kind: str
    step: str = ""
    alter: float = 0.0
    octave: int = 0


PITCH = frozenset(["step", "alter", "octave"])
REST = Height("rest")
UNPITCHED = Height("unpitched")


def read_note(walk: Walk, element: Element) -> None:
    """Keep a note with its ties and the marks that hang on it."""
    children = list(element)
    shape = shape_of(tuple([child.tag for child in children]))
    line = line_of(element)
    draft = UNSAID
    if shape.special:
        draft = Draft()
        outer = walk.path
        for index, position, handle in shape.special:
            walk.path = outer + position
            handle(walk, draft, children[index])
        walk.path = outer
    if shape.repeated:
        _report_repeated(walk, shape, line)
    note = _placed(walk, draft, shape, children, element, line)
    walk.notes.append(note)
    if draft.tie_start or draft.tie_stop:
        _tie(walk, draft, note)
    if draft.later or draft.last:
        place = Place(note.offset, note.stave, note.voice, note.id)
        for walk.path, child, walk.outer in draft.later + draft.last:
            read_notation(walk, child, place)
        walk.outer = ()


def _placed(
    walk: Walk, draft: Draft, shape: Shape, children: list[Element], element: Element, line: int
) -> Note:
    height = _height(walk, shape, children, line)
    name = "" if shape.type == NONE else clean(children[shape.type].text)
    if shape.grace:
        duration = 0
    elif shape.duration == NONE:
        duration = _duration_of_type(walk, draft, shape, name, line)
    else:
        duration = walk.ticks(children[shape.duration].text, line)
    offset, chord = _offset(walk, shape, height.kind, duration, line)
    count = walk.note_count
    walk.note_count = count + 1
    return Note(
        f"{walk.prefix}{count}",
        line,
        walk.bar,
        offset,
        duration,
        1 if shape.staff == NONE else _stave(walk, children[shape.staff].text, line),
        "1" if shape.voice == NONE else clean(children[shape.voice].text) or "1",
        *height,
        chord,
        shape.grace,
        draft.slash,
        shape.cue,
        element.get("print-object") == "no",
        draft.whole_bar,
        draft.tie_start,
        draft.tie_stop,
        draft.let_ring,
        name,
        shape.dots,
        draft.actual,
        draft.normal,
        "" if shape.stem == NONE else clean(children[shape.stem].text),
        draft.instrument,
        (*element.items(), *draft.details),
        shape.names,
        walk.path,
        _odd(draft, shape, children),
    )


def _odd(draft: Draft, shape: Shape, children: list[Element]) -> tuple[Inner, ...]:
    """Return the children that say more than the fields of a Note hold; all of such a name."""
    odd = draft.odd
    for index in shape.plain:
        if children[index].attrib:
            odd |= {children[index].tag}
    if not odd:
        return tuple(draft.inside)
    return (*[inner(child) for child in children if child.tag in odd], *draft.inside)


def _report_repeated(walk: Walk, shape: Shape, line: int) -> None:
    for name in shape.repeated:
        text = f"The note holds <{name}> more than once; the last one was read."
        walk.problem("repeated-element", text, line)


def _duration_of_type(walk: Walk, draft: Draft, shape: Shape, name: str, line: int) -> int:
    quarters = TYPE_QUARTERS.get(name, 0.0) * (2 - 0.5**shape.dots)
    ticks = round(quarters * walk.ticks_per_quarter * draft.normal / draft.actual)
    assumed = f"that of its type, {name}, was assumed" if ticks else "0 was assumed"
    walk.problem("no-duration", f"The note has no duration; {assumed}.", line)
    return ticks


def _offset(walk: Walk, shape: Shape, kind: str, duration: int, line: int) -> tuple[int, bool]:
    """Return where the note stands and whether it shares a chord with the note before."""
    if shape.chord:
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
        walk.advance(duration)
        if kind != "rest" and walk.cursor > walk.sounding:
            walk.sounding = walk.cursor
    return offset, False


def _stave(walk: Walk, text: str | None, line: int) -> int:
    stave = stave_number(walk, text, line)
    if stave > walk.staves:
        said = f"A note stands on stave {stave}, but the part announces {walk.staves}."
        walk.problem("stave-not-announced", said, line)
        walk.staves = stave
    return stave


def stave_number(walk: Walk, text: str | None, line: int) -> int:
    """Return the number of a stave; a damaged one is 1 and a problem."""
    if text == "1":
        return 1
    number = whole(text)
    if number is None or not 1 <= number <= 99:
        walk.problem("bad-stave", f"The stave is {text!r}, not a number; 1 was assumed.", line)
        return 1
    return number


# Pitch


def _height(walk: Walk, shape: Shape, children: list[Element], line: int) -> Height:
    if shape.pitch != NONE:
        if shape.rest:
            text = "The note holds a pitch and a rest; the pitch was read."
            walk.problem("pitch-and-rest", text, line)
        return _pitch(walk, children[shape.pitch])
    if shape.rest:
        return REST
    if shape.unpitched != NONE:
        return _unpitched(walk, children[shape.unpitched])
    walk.problem(
        "no-pitch",
        "The note has neither a pitch nor a rest; it was read as a note without pitch.",
        line,
    )
    return UNPITCHED


def _pitch(walk: Walk, element: Element) -> Height:
    said = tuple([(child.tag, child.text) for child in element])
    known = _known_pitch(said)
    return known or _damaged_pitch(walk, element, dict(said))


@lru_cache(maxsize=1024)
def _known_pitch(children: tuple[tuple[object, str | None], ...]) -> Height | None:
    """Return the pitch that these children name, or None where one of them is damaged."""
    elements = [(tag, text) for tag, text in children if isinstance(tag, str)]  # no comments
    said = dict(elements)
    if len(said) != len(elements) or not said.keys() <= PITCH:
        return None
    step, octave = clean(said.get("step")), whole(said.get("octave"))
    alter = decimal(said["alter"]) if "alter" in said else 0.0
    if step not in STEP_SEMITONES or octave is None or not -2 <= octave <= 12:
        return None
    if alter is None or abs(alter) > 4:
        return None
    return Height("pitched", step, alter, octave)


def _damaged_pitch(walk: Walk, element: Element, said: dict[str, str | None]) -> Height:
    step, octave = clean(said.get("step")), whole(said.get("octave"))
    if step not in STEP_SEMITONES or octave is None or not -2 <= octave <= 12:
        walk.problem(
            "bad-pitch",
            f"The pitch {step}{said.get('octave') or ''} is none; "
            "it was read as a note without pitch.",
            line_of(element),
        )
        return UNPITCHED
    alter = decimal(said["alter"]) if "alter" in said else 0.0
    if alter is not None and abs(alter) <= 4:
        text = "The pitch holds more than a step, an alteration and an octave; the last was read."
        walk.problem("repeated-element", text, line_of(element))
        return Height("pitched", step, alter, octave)
    text = f"The alteration {said.get('alter')!r} is not a number of semitones; 0 was assumed."
    walk.problem("bad-alter", text, line_of(element))
    return Height("pitched", step, 0.0, octave)


def _unpitched(walk: Walk, element: Element) -> Height:
    step = clean(element.findtext("display-step"))
    octave = whole(element.findtext("display-octave"))
    if step in STEP_SEMITONES and octave is not None:
        return Height("unpitched", step, 0.0, octave)
    if len(element):
        walk.problem(
            "bad-pitch",
            f"The place on the stave {content(element)!r} is none; it was left out.",
            line_of(element),
        )
    return UNPITCHED


def _tie(walk: Walk, draft: Draft, note: Note) -> None:
    tick = walk.tick(note.offset)
    unprinted = (Tied(draft.tie_path),)
    if draft.tie_stop:
        for tied in draft.tied_stops or unprinted:
            walk.ties.stop(note, tick, tied)
    if draft.tie_start:
        for tied in draft.tied_starts or unprinted:
            walk.ties.start(note, tick, tied)
