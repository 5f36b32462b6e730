"""What this room uses of an XML element, typed; at run time these are lxml's elements."""

from collections.abc import Iterator
from typing import Protocol

LINES_COUNTED = 65_535


class Element(Protocol):
    """An XML element; comments have a `tag` that is no str."""

    tag: str
    text: str | None
    tail: str | None

    @property
    def sourceline(self) -> int:
        """The line in which the element begins, up to 65,534; see `line_of`."""

    def __len__(self) -> int: ...
    def __iter__(self) -> Iterator["Element"]: ...
    def __getitem__(self, index: int) -> "Element": ...
    def __delitem__(self, index: int) -> None: ...

    def get(self, key: str) -> str | None:
        """Return an attribute, or None."""

    def keys(self) -> list[str]:
        """Return the names of the attributes; a third of the time that all of them take."""

    def items(self) -> list[tuple[str, str]]:
        """Return the attributes in the order of the file."""

    def find(self, path: str) -> "Element | None":
        """Return the first child of that name, or None."""

    def findtext(self, path: str) -> str | None:
        """Return the text of the first child of that name, or None."""

    def iterchildren(self, *tags: str) -> Iterator["Element"]:
        """Return the children of those names."""

    def getparent(self) -> "Element | None":
        """Return the element around this one."""

    def clear(self) -> None:
        """Forget the element's content."""


def line_of(element: Element) -> int:
    """Return the line of the file in which an element begins.

    The parser counts an element's line in 16 bits. Beyond them it gives the line where the nearest
    text ends: the text that the element begins with or, if it is empty, the text behind it; so the
    line breaks in that text are taken off again.
    """
    line = element.sourceline or 0
    if line < LINES_COUNTED:
        return line
    if element.text:
        return line - element.text.count("\n")
    if len(element):
        return line_of(element[0])
    return line - (element.tail or "").count("\n")


def drop_namespace(element: Element) -> None:
    """Take the namespace off the names of an element and of all that is in it."""
    if isinstance(element.tag, str):
        element.tag = element.tag.rpartition("}")[2]
    for child in element:
        drop_namespace(child)
