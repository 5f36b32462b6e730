"""Streams through a file bar by bar, so that one bar at a time is in memory."""

import io
from collections import Counter
from collections.abc import Iterator
from contextlib import suppress
from typing import NamedTuple, cast

from lxml import etree

from redstave.base.errors import InputError
from redstave.reading.cut import BarText, UnsureError
from redstave.reading.element import Element, drop_namespace, line_of
from redstave.reading.header import HANDLERS as HEAD
from redstave.reading.header import Header, read_head
from redstave.reading.ids import new_part_id
from redstave.reading.measure import read_bar, read_known
from redstave.reading.parser import (
    PARSER_OPTIONS,
    Root,
    may_hold_entities,
    refuse_crowds,
    syntax_error,
    ticks_per_quarter,
)
from redstave.reading.paths import bar_of_part, part_of_bar
from redstave.reading.problems import Problems
from redstave.reading.source import Source
from redstave.reading.walk import Walk

PARTS_LIMIT = 1000
READ = frozenset(["measure", "part", *HEAD])


class Read(NamedTuple):
    """What a file holds, before its parts are fitted together: each part's raw id and its walk."""

    header: Header
    walks: list[tuple[str, Walk]]


class Stream:
    """Reads one file of the kind `root`."""

    def __init__(
        self, name: str, root: Root, ticks: int, problems: Problems, source: Source | None
    ) -> None:
        self._name = name
        self._root = root
        self._ticks = ticks
        self._problems = problems
        self._header = Header(problems)
        self._walks: list[tuple[str, Walk]] = []
        self._known: dict[str, Walk] = {}  # the first part of each raw id
        self._taken: set[str] = set()  # ids given to parts
        self._part: Element | None = None
        self._bar = 0
        self._parts = 0  # elements <part> met
        self._told: set[Element] = set()  # what has been reported as misplaced
        self._source = source
        self._bars: Iterator[list[BarText]] | None = (
            None  # the texts of those of the part we are in
        )

    def read(self, data: bytes) -> Read:
        """Return all that the file says; InputError if it is not well-formed.

        UnsureError if the source does not fit its tree.
        """
        handlers = {
            "measure": self._timewise_bar if self._root.timewise else self._bar_of_part,
            "part": self._inside_bar if self._root.timewise else self._end_of_part,
        }
        try:
            for element in self._elements(data):
                handlers.get(element.tag, self._head)(element)
        except etree.XMLSyntaxError as error:
            self._be_sure()
            raise syntax_error(error, self._name) from error
        return Read(self._header, self._walks)

    def _elements(self, data: bytes) -> Iterator[Element]:
        space = f"{{{self._root.namespace}}}" if self._root.namespace else ""
        tags = [space + tag for tag in READ]
        may_hold = may_hold_entities(data)
        left = io.BytesIO(data) if self._source is None else self._source
        events = etree.iterparse(left, events=("end",), tag=tags, **PARSER_OPTIONS)
        for _, found in events:
            element = cast(Element, found)
            if space:
                drop_namespace(element)
            if may_hold:
                self._drop_entities(found)
            yield element
        self._report_others(cast(Element, events.root))

    def _drop_entities(self, element: etree._Element) -> None:
        for entity in element.iter(etree.Entity):
            text = f"{entity.text} stands for what only another file could tell; it was left out."
            self._problems.add("unknown-entity", text, line_of(cast(Element, entity)))
        etree.strip_tags(element, etree.Entity)

    def _head(self, element: Element) -> None:
        if not _below_root(element):
            self._misplaced(element)
            self._be_sure()
            return
        read_head(self._header, element)
        self._forget(element)

    def _be_sure(self) -> None:
        """Raise UnsureError where the source may not know any more where we are."""
        if self._source is not None:
            raise UnsureError

    def _misplaced(self, element: Element) -> None:
        """Report, once, what stands at a wrong place: the outermost element that does."""
        outer = _outermost(element)
        if outer not in self._told:
            self._told.add(outer)
            text = f"<{_name(outer)}> stands where MusicXML has none; it was not read."
            self._problems.add("misplaced-element", text, line_of(outer))

    def _forget(self, element: Element) -> None:
        """Free the memory of an element that has been read, and of those before it."""
        parent = element.getparent()
        element.clear()
        if parent is not None:
            while (first := parent[0]) is not element:
                self._report_other(first)
                del parent[0]

    def _report_others(self, element: Element) -> None:
        for child in element:
            self._report_other(child)

    def _report_other(self, element: Element) -> None:
        if element.tag not in READ and isinstance(element.tag, str):
            self._misplaced(element)

    def _is_part(self, element: Element) -> bool:
        return _below_root(element) and _name(element) == "part"

    # Parts that hold bars

    def _bar_of_part(self, element: Element) -> None:
        part = element.getparent()
        if part is None or (part is not self._part and not self._is_part(part)):
            self._misplaced(element)
            self._be_sure()
            return
        if part is not self._part:
            self._begin_part(part)
            self._bars = None if self._source is None else self._source.next_part()
        walk = self._walks[-1][1]
        if self._bars is None:
            read_bar(walk, element, element)
        else:
            self._read_texts(walk, element, next(self._bars, []))
        element.clear()  # the rest goes with its part

    def _read_texts(self, walk: Walk, element: Element, texts: list[BarText]) -> None:
        """Read a bar, and those behind it that it stands for."""
        if not texts:
            raise UnsureError
        first, *others = texts
        read_bar(walk, element, element, first)
        for text in others:
            read_known(walk, element, text)

    def _begin_part(self, element: Element) -> None:
        self._part = element
        self._parts += 1
        self._new_walk(element).bar_path = bar_of_part(self._root, self._parts)

    def _end_of_part(self, element: Element) -> None:
        if not self._is_part(element):
            self._misplaced(element)
            self._be_sure()
            return
        if element is not self._part:  # it held no bar
            self._begin_part(element)
            self._be_sure()
        if self._bars is not None and next(self._bars, None) is not None:
            raise UnsureError
        self._part = None
        self._report_others(element)
        self._forget(element)

    def _new_walk(self, element: Element) -> Walk:
        if len(self._walks) == PARTS_LIMIT:
            raise InputError(f"{self._name} holds more than {PARTS_LIMIT} parts; no score does.")
        raw = element.get("id") or ""
        if not raw:
            text = "A part has no id; it was given one."
            self._problems.add("no-part-id", text, line_of(element))
        elif raw in self._known:
            text = f"The file holds the part {raw!r} twice; both were kept."
            self._problems.add("duplicate-part", text, line_of(element))
        part_id = new_part_id(raw, self._taken)
        self._taken.add(part_id)
        walk = Walk(part_id, self._ticks, self._problems)
        self._walks.append((raw, walk))
        self._known.setdefault(raw, walk)
        return walk

    # Bars that hold parts

    def _inside_bar(self, _element: Element) -> None:
        """Leave a part to the bar around it."""

    def _timewise_bar(self, element: Element) -> None:
        if not _below_root(element):
            self._misplaced(element)
            return
        seen: Counter[str] = Counter()
        for part in element.iterchildren("part"):
            raw = part.get("id") or ""
            walk = None if raw in seen else self._known.get(raw)
            walk = walk or self._new_walk(part)
            seen[raw] += 1
            walk.bar_path = part_of_bar(self._root, part.get("id"), seen[raw])
            walk.stay_away(self._bar)
            read_bar(walk, part, element)
        self._bar += 1
        self._report_others(element)
        self._forget(element)


def read_stream(
    name: str, root: Root, problems: Problems, data: bytes
) -> tuple[Read, int, Problems]:
    """Return all that a file says, its ticks in a quarter, and the problems met.

    InputError if it is not well-formed, or an element has attributes without end.
    """
    ticks = ticks_per_quarter(data)
    for source in _sources(root, data):
        if source is None:
            refuse_crowds(data, name)
        met = problems.copy()
        with suppress(UnsureError):
            return Stream(name, root, ticks, met, source).read(data), ticks, met
    raise AssertionError("the tree alone can always be read")


def _sources(root: Root, data: bytes) -> Iterator[Source | None]:
    """Yield the ways to read a file: with its text, if that may tell, and by its tree alone."""
    if not (root.namespace or root.timewise or may_hold_entities(data)):
        with suppress(UnsureError):
            yield Source(data)
    yield None


def _below_root(element: Element) -> bool:
    parent = element.getparent()
    return parent is not None and parent.getparent() is None


def _name(element: Element) -> str:
    return element.tag.rpartition("}")[2]


def _outermost(element: Element) -> Element:
    """Return the outermost element that has no place where it stands: this one, or one around it.

    What stands inside a bar or the head is told by itself.
    """
    path, around = [element], element.getparent()
    while around is not None:
        path.append(around)
        around = around.getparent()
    _root, *path = reversed(path)
    in_part = len(path) > 1 and _name(path[0]) == "part"
    outer = path[1] if in_part else path[0]
    fits = _name(outer) == "measure" if in_part else _name(outer) in READ
    return element if fits else outer
