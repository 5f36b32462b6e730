"""One `<note>`: its children in the order of MusicXML 4.0."""

from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache

from redstave.model.score import Attributes, Inner, Note
from redstave.writing.numbers import number

# Details of a Note that are children of the element; what begins with one of these names and "-"
# is an attribute of that child, and every other detail an attribute of the note.
CHILDREN = ("accidental", "notehead", "notehead-text", "beam", "footnote", "level")
OF_RESTS = ("display-step", "display-octave")
OF_TUPLETS = ("normal-type", "normal-dot")
CHORD, CUE, DOT = Inner("chord"), Inner("cue"), Inner("dot")


class Details:
    """The details of a note, sorted by what they belong to."""

    def __init__(self, details: Attributes) -> None:
        self.note: list[tuple[str, str]] = []
        self.grace: list[tuple[str, str]] = []
        self.rest: list[Inner] = []
        self.tuplet: list[Inner] = []
        self.children: dict[str, list[Inner]] = {}
        for name, value in details:
            self._sort(name, value)

    def _sort(self, name: str, value: str) -> None:
        if name in CHILDREN:
            self._add(name, value)
        elif name in OF_RESTS:
            self.rest.append(Inner(name, value))
        elif name in OF_TUPLETS:
            self.tuplet.append(Inner(name, value))
        elif name.startswith("grace-"):
            self.grace.append((name[6:], value))
        else:
            bearer, _, attribute = name.partition("-")
            if bearer in ("accidental", "notehead") and bearer in self.children:
                self._look(bearer, attribute, value)
            else:
                self.note.append((name, value))

    def _add(self, name: str, value: str) -> None:
        beside = self.children.setdefault(name, [])
        order = (("number", str(len(beside) + 1)),) if name == "beam" else ()
        beside.append(Inner(name, value, order))

    def _look(self, bearer: str, attribute: str, value: str) -> None:
        last = self.children[bearer].pop()
        look = (*last.attributes, (attribute, value))
        self.children[bearer].append(last._replace(attributes=look))


def note_element(
    note: Note, attributes: Attributes, details: Details, has_staves: bool, hanging: Sequence[Inner]
) -> Inner:
    """Return a note as an element; `hanging` is what hangs on it: notations, lyrics, playback."""
    held: dict[str, list[Inner]] = {}
    for one in note.inside:
        held.setdefault(one.name, []).append(one)
    children = (
        *_before_pitch(note, details),
        _height(note, details),
        *_time(note, held),
        *_look(note, details, held),
        *_stave(note, has_staves),
        *_child(details, held, "beam"),
        *hanging,
    )
    return Inner("note", "", attributes, children)


def _before_pitch(note: Note, details: Details) -> Iterator[Inner]:
    if note.grace:
        slash = (("slash", "yes"),) if note.slash and not details.grace else ()
        yield Inner("grace", "", (*details.grace, *slash))
    if note.cue:
        yield CUE
    if note.chord:
        yield CHORD


def _height(note: Note, details: Details) -> Inner:
    if note.kind == "pitched":
        return _pitch(note.step, note.alter, note.octave)
    if note.kind == "unpitched":
        return _unpitched(note.step, note.octave)
    return Inner("rest", "", (("measure", "yes"),) if note.whole_bar else (), tuple(details.rest))


@lru_cache(maxsize=1024)
def _pitch(step: str, alter: float, octave: int) -> Inner:
    altered = (Inner("alter", number(alter)),) if alter else ()
    return Inner("pitch", "", (), (Inner("step", step), *altered, Inner("octave", str(octave))))


@lru_cache(maxsize=256)
def _unpitched(step: str, octave: int) -> Inner:
    place = (Inner("display-step", step), Inner("display-octave", str(octave))) if step else ()
    return Inner("unpitched", "", (), place)


def _time(note: Note, held: Mapping[str, Sequence[Inner]]) -> Iterator[Inner]:
    if not note.grace:
        yield Inner("duration", str(note.duration))
    if "tie" in held:
        yield from held["tie"]
    elif (note.tie_start or note.tie_stop) and not note.cue:
        if note.tie_stop:
            yield Inner("tie", "", (("type", "stop"),))
        if note.tie_start:
            yield Inner("tie", "", (("type", "start"),))
    if "instrument" in held:
        yield from held["instrument"]
    elif note.instrument:
        yield Inner("instrument", "", (("id", note.instrument),))


def _child(details: Details, held: Mapping[str, Sequence[Inner]], name: str) -> Sequence[Inner]:
    return held.get(name) or details.children.get(name) or ()


def _look(note: Note, details: Details, held: Mapping[str, Sequence[Inner]]) -> Iterator[Inner]:
    yield from _child(details, held, "footnote")
    yield from _child(details, held, "level")
    yield Inner("voice", note.voice)
    if "type" in held:
        yield from held["type"]
    elif note.type:
        yield Inner("type", note.type)
    yield from held.get("dot") or (DOT,) * note.dots
    yield from _child(details, held, "accidental")
    yield from held.get("time-modification") or _tuplet(note, details)
    if "stem" in held:
        yield from held["stem"]
    elif note.stem:
        yield Inner("stem", note.stem)
    yield from _child(details, held, "notehead")
    yield from _child(details, held, "notehead-text")


def _tuplet(note: Note, details: Details) -> Iterator[Inner]:
    actual, normal = note.actual_notes, note.normal_notes
    if (actual, normal) != (1, 1) or details.tuplet:
        counts = Inner("actual-notes", str(actual)), Inner("normal-notes", str(normal))
        yield Inner("time-modification", "", (), (*counts, *details.tuplet))


def _stave(note: Note, has_staves: bool) -> Iterator[Inner]:
    if has_staves or note.stave > 1:
        yield Inner("staff", str(note.stave))
