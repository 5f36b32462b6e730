"""Barlines with repeats, endings and what else stands on them."""

from redstave.model.score import Attributes, Inner, Mark
from redstave.writing.entries import Entry
from redstave.writing.ids import Ids
from redstave.writing.marks import around, own_attributes
from redstave.writing.pieces import pieces

PLAIN = "regular"
ORDER = ("footnote", "level", "wavy-line", "segno", "coda", "fermata", "ending", "repeat")


def barline(entry: Entry, ids: Ids) -> Inner:
    """Return a barline with all that it carries."""
    line = next((mark for mark in entry.marks if mark.kind == "barline"), None)
    others = [mark for mark in entry.marks if mark is not line]
    found = [piece.element for piece in pieces(others, entry.ends, ids)]
    found.sort(key=lambda one: ORDER.index(one.name) if one.name in ORDER else len(ORDER))
    attributes: Attributes = (("location", _location(entry, others)),)
    style: tuple[Inner, ...] = ()
    if line is not None:
        attributes = ids.named("barline", _line_attributes(line), line.id)
        looks = around(line, "bar-style")
        style = (Inner("bar-style", line.name, looks),) if line.name != PLAIN or looks else ()
    return Inner("barline", "", attributes, (*style, *found))


def _line_attributes(line: Mark) -> Attributes:
    own = own_attributes(line)
    if line.path or any(name == "location" for name, _ in own):
        return own
    return (("location", line.text or "right"), *own)


def _location(entry: Entry, marks: list[Mark]) -> str:
    """Return where a barline stands that only what it carries tells of."""
    return "right" if entry.offset or any(mark.name == "backward" for mark in marks) else "left"
