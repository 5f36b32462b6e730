"""Reads one `<note>`: pitch, length and ties first, then what hangs on it at its known place."""

from collections.abc import Callable

from redstave.model.score import STEP_SEMITONES, Note
from redstave.reading.element import Element, line_of
from redstave.reading.keep import content
from redstave.reading.notations import read_notation
from redstave.reading.notevalues import TYPE_QUARTERS
from redstave.reading.numbers import decimal, whole
from redstave.reading.walk import Place, Walk

PLAIN = frozenset(["duration", "voice", "type", "stem", "staff"])


class Draft:
    """What the children of a `<note>` have said so far; the class holds what is usual."""

    kind = ""
    step = ""
    alter = 0.0
    octave = 0
    chord = False
    grace = False
    slash = False
    cue = False
    whole_bar = False
    let_ring = False
    dots = 0
    actual = 1
    normal = 1
    instrument = ""
    tie_start = False
    tie_stop = False
    tied_starts = 0
    tied_stops = 0
    placement = ""

    def __init__(self) -> None:
        self.texts: dict[str, str | None] = {}
        self.details: list[tuple[str, str]] = []
        self.later: list[Element] = []


def read_note(walk: Walk, element: Element) -> None:
    """Keep a note with its ties and the marks that hang on it."""
    draft = Draft()
    texts = draft.texts
    for child in element:
        tag = child.tag
        if tag in PLAIN:
            texts[tag] = child.text
        else:
            HANDLERS.get(tag, _later)(walk, draft, child)
    line = line_of(element)
    if not draft.kind:
        _without_pitch(walk, draft, line)
    note = _placed(walk, draft, element, line)
    walk.notes.append(note)
    if draft.tie_start or draft.tie_stop:
        _tie(walk, draft, note)
    if draft.later:
        place = Place(note.offset, note.stave, note.voice, note.id)
        for child in draft.later:
            read_notation(walk, child, place)


def _placed(walk: Walk, draft: Draft, element: Element, line: int) -> Note:
    texts = draft.texts
    duration = 0 if draft.grace else _duration(walk, draft, line)
    offset = _offset(walk, draft, duration, line)
    count = walk.note_count
    walk.note_count = count + 1
    return Note(
        f"{walk.prefix}{count}",
        line,
        walk.bar,
        offset,
        duration,
        _stave(walk, texts["staff"], line) if "staff" in texts else 1,
        (texts.get("voice") or "1").strip(),
        draft.kind,
        draft.step,
        draft.alter,
        draft.octave,
        draft.chord,
        draft.grace,
        draft.slash,
        draft.cue,
        element.get("print-object") == "no",
        draft.whole_bar,
        draft.tie_start,
        draft.tie_stop,
        draft.let_ring,
        (texts.get("type") or "").strip(),
        draft.dots,
        draft.actual,
        draft.normal,
        (texts.get("stem") or "").strip(),
        draft.instrument,
        (*element.items(), *draft.details),
    )


def _duration(walk: Walk, draft: Draft, line: int) -> int:
    texts = draft.texts
    if "duration" in texts:
        return walk.ticks(texts["duration"], line)
    name = (texts.get("type") or "").strip()
    quarters = TYPE_QUARTERS.get(name, 0.0) * (2 - 0.5**draft.dots)
    ticks = round(quarters * walk.ticks_per_quarter * draft.normal / draft.actual)
    assumed = f"that of its type, {name}, was assumed" if ticks else "0 was assumed"
    walk.problem("no-duration", f"The note has no duration; {assumed}.", line)
    return ticks


def _offset(walk: Walk, draft: Draft, duration: int, line: int) -> int:
    if draft.chord:
        if walk.chord_onset is not None:
            return walk.chord_onset
        draft.chord = False
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
        if draft.kind != "rest" and walk.cursor > walk.sounding:
            walk.sounding = walk.cursor
    return offset


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


def _without_pitch(walk: Walk, draft: Draft, line: int) -> None:
    draft.kind = "unpitched"
    walk.problem(
        "no-pitch",
        "The note has neither a pitch nor a rest; it was read as a note without pitch.",
        line,
    )


# The children of a note


def _pitch(walk: Walk, draft: Draft, element: Element) -> None:
    said = {child.tag: child.text for child in element}
    step = (said.get("step") or "").strip()
    octave = whole(said.get("octave"))
    alter = _alter(walk, element, said["alter"]) if "alter" in said else 0.0
    if step not in STEP_SEMITONES or octave is None or not -2 <= octave <= 12:
        draft.kind = "unpitched"
        walk.problem(
            "bad-pitch",
            f"The pitch {step}{said.get('octave') or ''} is none; "
            "it was read as a note without pitch.",
            line_of(element),
        )
        return
    draft.kind, draft.step, draft.alter, draft.octave = "pitched", step, alter, octave


def _alter(walk: Walk, element: Element, text: str | None) -> float:
    alter = decimal(text)
    if alter is None or abs(alter) > 4:
        said = f"The alteration {text!r} is not a number of semitones; 0 was assumed."
        walk.problem("bad-alter", said, line_of(element))
        return 0.0
    return alter


def _unpitched(walk: Walk, draft: Draft, element: Element) -> None:
    draft.kind = "unpitched"
    step = (element.findtext("display-step") or "").strip()
    octave = whole(element.findtext("display-octave"))
    if step in STEP_SEMITONES and octave is not None:
        draft.step, draft.octave = step, octave
    elif len(element):
        walk.problem(
            "bad-pitch",
            f"The place on the stave {content(element)!r} is none; it was left out.",
            line_of(element),
        )


def _rest(_walk: Walk, draft: Draft, element: Element) -> None:
    draft.kind = "rest"
    if element.get("measure") == "yes":
        draft.whole_bar = True
    for child in element.iterchildren("display-step", "display-octave"):
        draft.details.append((child.tag, child.text or ""))


def _grace(_walk: Walk, draft: Draft, element: Element) -> None:
    draft.grace = True
    draft.slash = element.get("slash") == "yes"
    draft.details.extend((f"grace-{name}", value) for name, value in element.items())


def _chord(_walk: Walk, draft: Draft, _element: Element) -> None:
    draft.chord = True


def _cue(_walk: Walk, draft: Draft, _element: Element) -> None:
    draft.cue = True


def _dot(_walk: Walk, draft: Draft, _element: Element) -> None:
    draft.dots += 1


def _detail(_walk: Walk, draft: Draft, element: Element) -> None:
    draft.details.append((element.tag, content(element)))


def _detail_with_attributes(_walk: Walk, draft: Draft, element: Element) -> None:
    name = element.tag
    draft.details.append((name, content(element)))
    draft.details.extend((f"{name}-{key}", value) for key, value in element.items())


def _instrument(_walk: Walk, draft: Draft, element: Element) -> None:
    draft.instrument = element.get("id") or ""


def _time_modification(walk: Walk, draft: Draft, element: Element) -> None:
    said = {child.tag: child.text for child in element}
    actual, normal = whole(said.pop("actual-notes", None)), whole(said.pop("normal-notes", None))
    if not actual or not normal or actual < 0 or normal < 0:
        walk.problem(
            "bad-tuplet",
            f"The proportion {content(element)!r} of the tuplet is none; 1 to 1 was assumed.",
            line_of(element),
        )
        return
    draft.actual, draft.normal = actual, normal
    draft.details.extend((name, text or "") for name, text in said.items() if name)


def _sound_tie(walk: Walk, draft: Draft, element: Element) -> None:
    kind = element.get("type")
    if kind == "start":
        draft.tie_start = True
    elif kind == "stop":
        draft.tie_stop = True
    elif kind == "let-ring":
        draft.let_ring = True
    else:
        _bad_tie(walk, element, kind)


def _tied(walk: Walk, draft: Draft, element: Element) -> None:
    kind = element.get("type")
    if kind == "let-ring":
        draft.let_ring = True
    elif kind not in ("start", "stop", "continue"):
        _bad_tie(walk, element, kind)
    if kind in ("start", "continue"):
        draft.tie_start = True
        draft.tied_starts += 1
        draft.placement = element.get("placement") or draft.placement
    if kind in ("stop", "continue"):
        draft.tie_stop = True
        draft.tied_stops += 1


def _bad_tie(walk: Walk, element: Element, kind: str | None) -> None:
    walk.problem(
        "bad-type",
        f"A tie should say 'start' or 'stop' and says {kind!r}; it was left out.",
        line_of(element),
    )


def _tie(walk: Walk, draft: Draft, note: Note) -> None:
    tick = walk.tick(note.offset)
    if draft.tie_stop:
        for _ in range(draft.tied_stops or 1):
            walk.ties.stop(note, tick)
    if draft.tie_start:
        for _ in range(draft.tied_starts or 1):
            walk.ties.start(note, tick, draft.placement)


def _notations(walk: Walk, draft: Draft, element: Element) -> None:
    for child in element:
        if child.tag == "tied":
            _tied(walk, draft, child)
        else:
            draft.later.append(child)


def _later(_walk: Walk, draft: Draft, element: Element) -> None:
    draft.later.append(element)


HANDLERS: dict[str, Callable[[Walk, Draft, Element], None]] = {
    "pitch": _pitch,
    "unpitched": _unpitched,
    "rest": _rest,
    "chord": _chord,
    "grace": _grace,
    "cue": _cue,
    "dot": _dot,
    "tie": _sound_tie,
    "time-modification": _time_modification,
    "notations": _notations,
    "instrument": _instrument,
    "beam": _detail,
    "accidental": _detail_with_attributes,
    "notehead": _detail_with_attributes,
    "notehead-text": _detail,
    "footnote": _detail,
    "level": _detail,
}
