"""What keeps the things that elements say: a part being read, or the record of one element.

Handlers of elements are the same for both. In a part being read, what an element says is set into
its bar at once. The record of a note or a direction keeps it apart from its place, so that a text
that stands in a score a thousand times is read once and set a thousand times.
"""

from collections.abc import Iterator
from typing import NamedTuple

from redstave.model.score import Attributes, Inner
from redstave.reading.element import Element, line_of
from redstave.reading.inner import inside


class Place(NamedTuple):
    """Where a mark stands in the bar, and what it hangs on; offset in ticks, stave 0 = all."""

    offset: int
    stave: int
    voice: str = ""
    note: str = ""
    group: int = 0
    placement: str = ""


class MarkSaid(NamedTuple):
    """A mark as its element tells it, wherever it stands; fields as in a `Mark`."""

    kind: str
    name: str
    text: str
    value: float
    placement: str
    attributes: Attributes
    inside: tuple[Inner, ...]


class StartSaid(NamedTuple):
    """The beginning of a span as its element tells it; fields as in a `Span`."""

    kind: str
    name: str
    number: str
    placement: str
    attributes: Attributes
    inside: tuple[Inner, ...]


class StopSaid(NamedTuple):
    """The end of a span as its element tells it; fields as in a `Span`."""

    kind: str
    number: str
    attributes: Attributes


Said = MarkSaid | StartSaid | StopSaid
# Of attributes: which one, its name, and the number of the blank that is its value.
Holes = tuple[tuple[int, str, int], ...]
Act = tuple[Said, int, str, Holes]  # what is said, at which line and path


_new = tuple.__new__  # for what is made ten thousand times: see `redstave.reading.walk`


class Keeper:
    """Takes what the handlers of elements find; `path` is that of the element being read.

    `outer` are attributes that the element around says of it.
    """

    path = ""
    outer: Attributes = ()

    def keep(self, said: Said, line: int, place: Place, /) -> None:
        """Keep what the element at hand says, which stands at a line."""
        raise NotImplementedError

    def problem(self, code: str, text: str, line: int) -> None:
        """Report a problem."""
        raise NotImplementedError

    def mark(
        self,
        kind: str,
        name: str,
        element: Element,
        place: Place,
        text: str = "",
        value: float = 0.0,
        attributes: Attributes | None = None,
        holds_marks: bool = False,
    ) -> None:
        """Keep a mark; its attributes are the element's unless others are given.

        `holds_marks` says that the element's children are marks themselves.
        """
        own = tuple(element.items()) if attributes is None else attributes
        placement = element.get("placement") or place.placement
        held = inside(element) if len(element) and not holds_marks else ()
        said = _new(MarkSaid, (kind, name, text, value, placement, own + self.outer, held))
        self.keep(said, line_of(element), place)

    def start_span(
        self,
        kind: str,
        name: str,
        number: str,
        element: Element,
        place: Place,
        attributes: Attributes,
    ) -> None:
        """Begin a span; its attributes are those given."""
        placement = element.get("placement") or place.placement
        own = attributes + self.outer
        said = StartSaid(kind, name, number, placement, own, inside(element))
        self.keep(said, line_of(element), place)

    def stop_span(
        self, kind: str, number: str, element: Element, place: Place, attributes: Attributes = ()
    ) -> None:
        """End a span."""
        said = StopSaid(kind, number, attributes + self.outer)
        self.keep(said, line_of(element), place)

    def inside(self, element: Element) -> Iterator[Element]:
        """Go along the elements in an element; `path` is that of the one at hand."""
        outer = self.path
        number = 0
        for child in element:
            if isinstance(child.tag, str):  # a comment is no element
                number += 1
                self.path = f"{outer}.{number}"
                yield child
        self.path = outer


class Fault(NamedTuple):
    """A problem of an element; its line counts from that of the record."""

    code: str
    text: str
    line: int


class Record(Keeper):
    """What one note or direction says, wherever it stands: lines and paths count from its own.

    All that it says stands at one place, so a place is not kept. A `Walk` tells a record again
    wherever the same text stands: see `Walk.tell`.
    """

    def __init__(self, line: int) -> None:
        self._line = line
        self.acts: list[Act] = []
        self.faults: list[Fault] = []

    def keep(self, said: Said, line: int, _place: Place, /) -> None:
        """Keep what the element at hand says, which stands at a line."""
        self.acts.append((said, line - self._line, self.path, ()))

    def problem(self, code: str, text: str, line: int) -> None:
        """Keep a problem."""
        self.faults.append(Fault(code, text, line - self._line))
