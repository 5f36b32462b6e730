"""The elements that the marks and ends of spans of one entry are, in order.

Several values of a Score may come from one element: the letters of a level, a word and the level
drawn in it, the end of one pedal and the beginning of the next. They share a path.
"""

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from redstave.model.score import Attributes, Inner, Mark
from redstave.writing.entries import BEHIND, End, Path, path_of
from redstave.writing.ids import Ids
from redstave.writing.marks import mark_element, own_attributes

ELEMENTS = {"hairpin": "wedge", "tie": "tied"}
NUMBERED = frozenset(
    ["hairpin", "slur", "dashes", "bracket", "octave-shift", "glissando", "slide", "wavy-line"]
)
CONTINUES = ("continues", "yes")
NEVER_NUMBERED = frozenset(["tie", "tremolo"])


class Piece(NamedTuple):
    """An element with the mark or the end of a span that it is; `path` is the element's."""

    path: Path
    element: Inner
    mark: Mark | None = None
    end: End | None = None

    def around(self, element: str) -> Attributes:
        """Return what is said of the element of this name around the piece."""
        return tuple(_around(self, f"{element}-"))


def pieces(marks: Sequence[Mark], ends: Sequence[End], ids: Ids) -> list[Piece]:
    """Return the elements of marks and ends of spans in the order of their paths."""
    items: list[tuple[Path, int, Mark | End]] = []
    items += [(path_of(mark.path), serial, mark) for serial, mark in enumerate(marks)]
    # Without a path, what ends stands before what begins.
    items += [(path_of(end.at.path), len(marks) + end.starts, end) for end in ends]
    if len(items) > 1:
        items.sort(key=lambda item: item[:2])
    found: list[Piece] = []
    written: Path = ()
    for path, _, item in items:
        if path == written and path != BEHIND:
            if isinstance(item, End) and item.starts:
                _also_begins(found, item, ids)
            continue
        if isinstance(item, End):
            found.append(Piece(path, _end_element(item, ids), end=item))
        elif item.kind == "level":
            _add_level(found, path, item, ids)
        else:
            found.append(Piece(path, _named(mark_element(item), item, ids), item))
        written = path
    return found


def _named(element: Inner, mark: Mark, ids: Ids) -> Inner:
    return element._replace(attributes=ids.named(element.name, element.attributes, mark.id))


# Levels


def _add_level(found: list[Piece], path: Path, mark: Mark, ids: Ids) -> None:
    said = dict(mark.attributes)
    if said.get("from") == "words":
        words = Inner("words", mark.text, own_attributes(mark))
        found.append(Piece(path, _named(words, mark, ids), mark))
        return
    if said.get("within") == "words":
        return
    if mark.name == "dynamics":  # without a letter
        found.append(Piece(path, _named(Inner("dynamics", "", mark.attributes), mark, ids), mark))
        return
    outer = path if path == BEHIND else path[:-1]
    letters = _letters(mark)
    before = found[-1] if found else None
    if before and CONTINUES in mark.attributes and before.element.name == "dynamics":
        element = before.element._replace(inside=(*before.element.inside, letters))
        found[-1] = before._replace(element=element)
        return
    looks = tuple(item for item in own_attributes(mark) if item[0] != "smufl")
    dynamics = Inner("dynamics", "", looks, (letters,))
    found.append(Piece(outer, _named(dynamics, mark, ids), mark))


def _letters(mark: Mark) -> Inner:
    looks = mark.attributes
    if CONTINUES in looks:  # what stands before it is said of the whole level
        looks = looks[looks.index(CONTINUES) + 1 :]
    else:
        looks = tuple(item for item in looks if item[0] == "smufl")
    return Inner(mark.name, "" if mark.inside else mark.text, looks, mark.inside)


# Spans


def _end_element(end: End, ids: Ids) -> Inner:
    span = end.of
    name = ELEMENTS.get(span.kind, span.kind)
    if end.starts:
        said = tuple(_own(span.attributes))
        if not end.at.path and end.at.note and span.placement:
            said = tuple({"placement": span.placement, **dict(said)}.items())
        kind = span.name or "start"
    else:
        said = tuple(_own(_stopped(span.attributes)))
        kind = "stop"
    text = "".join(value for key, value in said if key == "text")
    given = dict(said).get("type")
    looks = tuple(item for item in said if item[0] not in ("text", "type"))
    if end.starts:
        looks = ids.named(name, looks, span.id)
    attributes = (("type", given or kind), *_number(end), *looks)
    inside = span.inside if end.starts else ()
    return Inner(name, "" if inside else text, attributes, inside)


def _number(end: End) -> Iterator[tuple[str, str]]:
    kind, number = end.of.kind, end.of.number
    if kind not in NEVER_NUMBERED and (kind in NUMBERED or number != "1"):
        yield "number", number


def _stopped(attributes: Attributes) -> Iterator[tuple[str, str]]:
    return ((key[5:], value) for key, value in attributes if key.startswith("stop-"))


def _own(attributes: Iterable[tuple[str, str]]) -> Iterator[tuple[str, str]]:
    return (item for item in attributes if not item[0].startswith(NOT_OWN))


NOT_OWN = ("stop-", "direction-", "notations-")


def _also_begins(found: list[Piece], end: End, ids: Ids) -> None:
    """Let the element that ends a span be the one that begins the next: a change of pedal."""
    if found[-1].end is not None and not found[-1].end.starts:
        found[-1] = found[-1]._replace(element=_end_element(end, ids), end=end)


def _around(piece: Piece, begin: str) -> Iterator[tuple[str, str]]:
    attributes: Iterable[tuple[str, str]] = ()
    if piece.mark is not None:
        attributes = piece.mark.attributes
    elif piece.end is not None:
        attributes = piece.end.of.attributes
        attributes = attributes if piece.end.starts else _stopped(attributes)
    return ((key[len(begin) :], value) for key, value in attributes if key.startswith(begin))
