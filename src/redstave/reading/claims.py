"""Which elements of a file a Score stands for.

The Score is followed back into the file along its paths: an element counts as kept if a note, a
mark, an end of a span or the head of the Score leads to it and says what it says.
"""

from collections.abc import Callable, Iterator
from typing import cast

from lxml import etree

from redstave.model.score import Anchor, Inner, Mark, Note, Part, Score, Span
from redstave.reading.element import Element as ReadElement
from redstave.reading.inner import inside
from redstave.reading.numbers import clean, decimal, whole
from redstave.reading.paths import bar_path
from redstave.reading.strangers import HOLDS

Element = etree._Element
# Elements that only hold others: kept if all that they hold is kept.
FAMILIES = frozenset(["articulations", "ornaments", "technical"])
HOLDERS = (
    FAMILIES
    | frozenset(["attributes", "barline", "direction", "direction-type", "dynamics", "notations"])
    | {"print", "sound"}
)
# What says where its neighbours stand: it is in their places.
PLACING = {
    "backup": frozenset(["measure", "part"]),
    "forward": frozenset(["measure", "part"]),
    "offset": frozenset(["direction", "sound", "harmony", "figured-bass"]),
    "divisions": frozenset(["attributes"]),
}
PLACED_BY = frozenset(["staff", "voice"])
HUNG = frozenset(["notations", "lyric", "play", "listen"])  # on a note, as marks of their own
HEADERS = frozenset(
    ["work", "movement-number", "movement-title", "identification", "defaults", "credit"]
)


class Claims:
    """The elements of one tree that a Score stands for."""

    def __init__(self, score: Score, root: Element) -> None:
        self.kept: set[Element] = {root}
        self._root = root
        self._head(score)
        for part in score.parts:
            self._part(part)
        self.kept.update(list(root.iterchildren("measure"))[: len(score.bars)])
        self._holders()

    def _head(self, score: Score) -> None:
        said = [*score.head]
        for element in self._root.iterchildren(*HEADERS):
            if any(one.name == element.tag and _is_said(element, one.inside) for one in said):
                self._whole(element)
        headings = {part.heading for part in score.parts}
        groups = {group.inside for group in score.groups}
        for listed in self._root.iterchildren("part-list"):
            self.kept.add(listed)
            for element in listed.iterchildren("score-part"):
                if any(_is_said(element, heading) for heading in headings):
                    self._whole(element)
            for element in listed.iterchildren("part-group"):
                stops = element.get("type") == "stop" and bool(groups)
                if stops or any(_is_said(element, group) for group in groups):
                    self._whole(element)

    def _part(self, part: Part) -> None:
        bars = _Bars(part, self._root)
        for note in part.notes:
            found = bars.note(note)
            if found is not None:
                self._note(note, found)
        for mark in part.marks:
            self._mark(mark, bars.find(mark.bar, mark.path))
        for span in part.spans:
            for end in (span.start, span.stop):
                if end is not None:
                    self._end(span, end, bars.find(end.bar, end.path))
        self.kept.update(bars.holder())
        for bar in bars.elements():
            self.kept.add(bar)
            parent = bar.getparent()
            if parent is not None:
                self.kept.add(parent)
            self._placing(bar)

    def _placing(self, bar: Element) -> None:
        for element in bar.iterdescendants(*PLACING):
            around = element.getparent()
            if around is not None and around.tag in PLACING[str(element.tag)]:
                self._value(element)

    def _note(self, note: Note, element: Element) -> None:
        self.kept.add(element)
        held = {one.name for one in note.inside}
        for child in element.iterchildren(etree.Element):
            name = str(child.tag)
            if name in HUNG or name not in note.shape:
                continue
            if name in held:
                self._whole(child)
            elif name in VALUES and VALUES[name](note, child):
                self._value(child)
        for tied in element.iterfind("notations/tied"):
            if note.let_ring and tied.get("type") == "let-ring":
                self._whole(tied)

    def _mark(self, mark: Mark, element: Element | None) -> None:
        if element is None:
            return
        self.kept.add(element)
        if _is_said(element, mark.inside):
            self._whole(element)
        for style in element.iterchildren("bar-style"):
            if clean(style.text) == mark.name:
                self.kept.add(style)

    def _end(self, span: Span, end: Anchor, element: Element | None) -> None:
        if element is not None and (end is span.stop or _is_said(element, span.inside)):
            self._whole(element)

    def _whole(self, element: Element) -> None:
        self.kept.update(element.iter(etree.Element))

    def _value(self, element: Element) -> None:
        """Keep an element with those in it that are read with it; of most, with all."""
        self.kept.add(element)
        known = HOLDS.get(str(element.tag))
        if known is None:
            self._whole(element)
            return
        for child in element.iterchildren(*known) if known else ():
            self._value(child)

    def _holders(self) -> None:
        """Keep what only holds others, from the inside out, and what says their place."""
        for element in reversed(list(self._root.iter(*HOLDERS))):
            children = list(element.iterchildren(etree.Element))
            told = [child for child in children if child.tag not in PLACED_BY]
            if all(child in self.kept for child in told) and (children or not element.attrib):
                self.kept.add(element)
            if element.tag == "direction" and any(child in self.kept for child in told):
                self.kept.update(element.iterchildren(*PLACED_BY))


class _Bars:
    """The bars of one part in a tree."""

    def __init__(self, part: Part, root: Element) -> None:
        self._part = part
        self._root = root
        self._found: dict[int, Element | None] = {}
        self._inside: dict[Element, list[Element]] = {}

    def elements(self) -> Iterator[Element]:
        bar_by_bar = "part" in self._part.bar_path.partition("{bar}")[2]
        for bar, attributes in enumerate(self._part.bar_attributes):
            if bar_by_bar and not attributes:  # the part does not stand in this bar
                continue
            found = self._bar(bar)
            if found is not None:
                yield found

    def holder(self) -> list[Element]:
        """Return the element around the bars, if the file goes part by part."""
        path = self._part.bar_path.rpartition("/")[0]
        found = self._root.xpath(path) if path and "{bar}" not in path else []
        return [cast(Element, one) for one in found] if isinstance(found, list) else []

    def find(self, bar: int, path: str) -> Element | None:
        found = self._bar(bar)
        for step in path.split(".") if path else ():
            children = [] if found is None else self._children(found)
            found = children[int(step) - 1] if int(step) <= len(children) else None
        return found

    def note(self, note: Note) -> Element | None:
        return self.find(note.bar, note.path)

    def _bar(self, bar: int) -> Element | None:
        if bar not in self._found:
            found = self._root.xpath(bar_path(self._part, bar)) if self._part.bar_path else []
            self._found[bar] = (
                cast(Element, found[0]) if isinstance(found, list) and found else None
            )
        return self._found[bar]

    def _children(self, element: Element) -> list[Element]:
        if element not in self._inside:
            self._inside[element] = list(element.iterchildren(etree.Element))
        return self._inside[element]


def _is_said(element: Element, said: tuple[Inner, ...]) -> bool:
    """Tell whether what stands in an element is what the Score says that stands in it."""
    return inside(cast(ReadElement, element)) == said


def _is_there(_note: Note, _element: Element) -> bool:
    return True


def _pitch(note: Note, element: Element) -> bool:
    alter = element.findtext("alter")
    return (note.step, note.octave) == (
        clean(element.findtext("step")),
        whole(element.findtext("octave")),
    ) and note.alter == (0.0 if alter is None else decimal(alter))


VALUES: dict[str, Callable[[Note, Element], bool]] = {
    **dict.fromkeys(
        ("accidental", "notehead", "notehead-text", "footnote", "level", "beam"), _is_there
    ),
    "duration": _is_there,
    "time-modification": _is_there,
    "pitch": _pitch,
    "rest": lambda note, _: note.kind == "rest",
    "unpitched": lambda note, _: note.kind == "unpitched",
    "chord": lambda note, _: note.chord,
    "grace": lambda note, _: note.grace,
    "cue": lambda note, _: note.cue,
    "voice": lambda note, element: note.voice == (clean(element.text) or "1"),
    "type": lambda note, element: note.type == clean(element.text),
    "stem": lambda note, element: note.stem == clean(element.text),
    "staff": lambda note, element: note.stave == whole(element.text),
    "dot": lambda note, _: note.dots > 0,
    "instrument": lambda note, element: note.instrument == element.get("id"),
    "tie": lambda note, element: {
        "start": note.tie_start,
        "stop": note.tie_stop,
        "let-ring": note.let_ring,
    }.get(element.get("type") or "", False),
}
