"""What this room uses of an XML element, typed; at run time these are lxml's elements."""

from collections.abc import Iterator
from typing import Protocol


class Element(Protocol):
    """An XML element; comments have a `tag` that is no str."""

    tag: str
    text: str | None

    @property
    def sourceline(self) -> int:
        """The line of the file in which the element begins."""

    def __len__(self) -> int: ...
    def __iter__(self) -> Iterator["Element"]: ...
    def __getitem__(self, index: int) -> "Element": ...
    def __delitem__(self, index: int) -> None: ...

    def get(self, key: str) -> str | None:
        """Return an attribute, or None."""

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
