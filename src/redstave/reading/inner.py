"""Keeps elements as they stand in the file."""

from redstave.model.score import Inner
from redstave.reading.element import Element

_new = tuple.__new__  # for what is made ten thousand times: see `redstave.reading.walk`


def inner(element: Element) -> Inner:
    """Return an element as it stands in the file, without the space that lays it out."""
    if not len(element):
        return _new(Inner, (element.tag, element.text or "", tuple(element.items()), ()))
    return _new(Inner, (element.tag, "", tuple(element.items()), inside(element)))


def is_element(node: Element) -> bool:
    """Whether a child is an element; comments are none."""
    return isinstance(node.tag, str)


def inside(element: Element) -> tuple[Inner, ...]:
    """Return what stands in an element that has children; comments are left out."""
    if not len(element):
        return ()
    children = tuple([inner(child) for child in element if is_element(child)])
    text = element.text or ""
    return (Inner("", text), *children) if text.strip() else children
