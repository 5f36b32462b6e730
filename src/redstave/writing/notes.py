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
PLACING = frozenset(["default-x", "default-y", "dynamics", "print-object"])
CHORD, CUE, DOT = Inner("chord"), Inner("cue"), Inner("dot")
TIE_STOP = Inner("tie", "", (("type", "stop"),))
TIE_START = Inner("tie", "", (("type", "start"),))


class Details:
    """The details of a note, sorted by what they belong to."""

    def __init__(self, details: Attributes) -> None:
        self.note: list[tuple[str, str]] = []
        self.grace: list[tuple[str, str]] = []
        self.rest: list[Inner] = []
        self.tuplet: list[Inner] = []
        self.children: dict[str, list[Inner]] = {}
        for item in details:
            if item[0] in PLACING:  # nearly all of them, so it is asked first
                self.note.append(item)
            else:
                self._sort(*item)

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
    children: list[Inner] = []
    if note.grace or note.cue or note.chord:
        children += _before_pitch(note, details)
    children.append(_height(note, details))
    _add_time(children, note, held)
    _add_look(children, note, details, held)
    if has_staves or note.stave > 1:
        children.append(Inner("staff", str(note.stave)))
    children += _child(details, held, "beam")
    children += hanging
    return Inner("note", "", attributes, tuple(children))


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


def _add_time(children: list[Inner], note: Note, held: Mapping[str, Sequence[Inner]]) -> None:
    if not note.grace:
        children.append(Inner("duration", str(note.duration)))
    if "tie" in held:
        children += held["tie"]
    elif (note.tie_start or note.tie_stop) and not note.cue:
        children += [TIE_STOP] * note.tie_stop + [TIE_START] * note.tie_start
    if "instrument" in held:
        children += held["instrument"]
    elif note.instrument:
        children.append(Inner("instrument", "", (("id", note.instrument),)))


def _child(details: Details, held: Mapping[str, Sequence[Inner]], name: str) -> Sequence[Inner]:
    return held.get(name) or details.children.get(name) or ()


def _add_look(
    children: list[Inner], note: Note, details: Details, held: Mapping[str, Sequence[Inner]]
) -> None:
    children += _child(details, held, "footnote")
    children += _child(details, held, "level")
    children.append(Inner("voice", note.voice))
    if "type" in held:
        children += held["type"]
    elif note.type:
        children.append(Inner("type", note.type))
    children += held.get("dot") or [DOT] * note.dots
    children += _child(details, held, "accidental")
    if "time-modification" in held:
        children += held["time-modification"]
    elif note.actual_notes != 1 or note.normal_notes != 1 or details.tuplet:
        children.append(_tuplet(note, details))
    if "stem" in held:
        children += held["stem"]
    elif note.stem:
        children.append(Inner("stem", note.stem))
    children += _child(details, held, "notehead")
    children += _child(details, held, "notehead-text")


def _tuplet(note: Note, details: Details) -> Inner:
    actual = Inner("actual-notes", str(note.actual_notes))
    normal = Inner("normal-notes", str(note.normal_notes))
    return Inner("time-modification", "", (), (actual, normal, *details.tuplet))
