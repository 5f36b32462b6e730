"""The engraver's SVG made fit for a letter: flat, small, without style element or foreign ids.

The engraver writes an outer `<svg>`, a `<style>` element, glyph definitions with ids of its own
and an inner `<svg>` with the real coordinates. A letter under a strict policy ignores the style
element (stave lines and stems vanish), some PDF makers draw the nested one ten times too big, and
two excerpts on one page would clash in their ids. So: the inner coordinates become the only ones,
the rules live in our style sheet, glyphs are collected to be defined once per letter, and the only
names kept are ours, as `data-n`.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from lxml import etree

from redstave.render.page_xml import Element

SVG = "http://www.w3.org/2000/svg"
#: Classes our style sheet or our own geometry speaks of; all others are dropped.
_CLASSES = frozenset(
    {"ending", "fing", "reh", "tempo", "dir", "dynam", "label"}
    | {"note", "rest", "mRest", "notehead", "staff", "measure"}
)
_UNSEEN = frozenset({"desc", "style", "title", "defs"})
_HIDDEN = frozenset({"placeholder", "mNum"})  # bar numbers are written by us
_MOVE = re.compile(r"translate\(\s*(-?[\d.]+)[ ,]+(-?[\d.]+)\s*\)")
_SCALE = re.compile(r"scale\(\s*(-?[\d.]+)")
_STAVE_LINE = re.compile(r"M\s*(-?\d+)[ ,]+(-?\d+)\s*L\s*(-?\d+)[ ,]+(-?\d+)\s*$")


@dataclass(frozen=True)
class Drawing:
    """An engraved passage: its group of shapes, its size in engraver's units, its glyphs.

    A stave is 720 units high. `glyphs` are the outlines used, by SMuFL code point ("E0A4");
    `above` is how far the picture reaches over its upper edge.
    """

    body: Element
    width: float
    height: float
    glyphs: dict[str, str]
    above: float = 0.0


def drawing(svg: str) -> Drawing:
    """Flatten one engraved page."""
    parser = etree.XMLParser(resolve_entities=False, no_network=True, remove_comments=True)
    outer = etree.fromstring(svg.encode(), parser)
    inner = outer.find(f"{{{SVG}}}svg")
    if inner is None:
        raise ValueError("the engraver's page has no inner drawing")
    body = inner.find(f"{{{SVG}}}g")
    assert body is not None
    _, _, width, height = (float(word) for word in str(inner.get("viewBox")).split())
    glyphs = dict(_glyphs(outer))
    _clean(body)
    return Drawing(body, width, height, glyphs)


def point(element: Element) -> tuple[float, float, float] | None:
    """Return x, y and scale of an element's transform, None without one."""
    transform = element.get("transform", "")
    move, scale = _MOVE.search(transform), _SCALE.search(transform)
    if move is None:
        return None
    return float(move[1]), float(move[2]), float(scale[1]) if scale else 1.0


def by_name(body: Element) -> dict[str, Element]:
    """Return every group that carries one of our ids, under that id."""
    return {str(group.get("data-n")): group for group in body.iter("g") if group.get("data-n")}


def staves(measure: Element) -> list[tuple[float, float, float, float]]:
    """Return left, top, right and bottom of every stave of an engraved bar, from the top."""
    return [box for group in measure.iter("g") if (box := _stave_box(group)) is not None]


def text_of(body: Element) -> str:
    """Return all words of a drawing, for search and for tests."""
    return " ".join("".join(map(str, text.itertext())) for text in body.iter("text"))


def _glyphs(outer: Element) -> Iterator[tuple[str, str]]:
    for group in outer.iterfind(f"{{{SVG}}}defs/{{{SVG}}}g"):
        path = group.find(f"{{{SVG}}}path")
        if path is not None:
            yield str(group.get("id")).partition("-")[0], str(path.get("d"))


def _clean(body: Element) -> None:
    """Strip namespaces, foreign ids, unused classes, empty groups and blank space."""
    for element in list(body.iter()):
        element.tag = etree.QName(element).localname
        if element.tag in _UNSEEN or _HIDDEN & set(str(element.get("class", "")).split()):
            _remove(element)
            continue
        _clean_attributes(element)
        if element.text is not None and not element.text.strip() and len(element):
            element.text = None
        if element.tail is not None and not element.tail.strip():
            element.tail = None
    for text in body.iter("text"):
        _part_note_from_word(text)
    for group in reversed(list(body.iter("g"))):
        _prune(group, body)
    etree.cleanup_namespaces(body)


def _clean_attributes(element: Element) -> None:
    name = str(element.attrib.pop("id", ""))
    if "." in name:  # the engraver's own ids have no dot, ours always do
        element.set("data-n", name)
    kept = [word for word in str(element.attrib.pop("class", "")).split() if word in _CLASSES]
    if kept:
        element.set("class", " ".join(kept))
    if element.tag == "use":
        glyph = str(element.get("href", "")).lstrip("#").partition("-")[0]
        element.set("href", f"#g{glyph}")


def _part_note_from_word(text: Element) -> None:
    """Put a space before a note value that the engraver sets right behind a tempo word."""
    before: Element | None = None
    for piece in text.iter("tspan"):
        if not piece.text:
            continue
        word = str(before.text) if before is not None else ""
        if before is not None and piece.get("font-family") and word[-1:].isalnum():
            before.text = f"{word}\N{NO-BREAK SPACE}"
        before = piece


def _prune(group: Element, body: Element) -> None:
    """Drop a group that draws nothing; lift the children of one that says nothing."""
    parent = group.getparent()
    if group is body or parent is None or group.get("data-n"):
        return
    if len(group) == 0:
        _remove(group)
    elif not group.attrib:
        place = parent.index(group)
        parent[place : place + 1] = list(group)


def _remove(element: Element) -> None:
    parent = element.getparent()
    if parent is not None:
        parent.remove(element)


def _stave_box(group: Element) -> tuple[float, float, float, float] | None:
    if group.get("class") != "staff":
        return None
    lines = [
        [float(number) for number in found.groups()]
        for path in group.iterchildren("path")
        if (found := _STAVE_LINE.match(str(path.get("d")))) is not None
    ]
    if not lines:
        return None
    whole = [line for line in lines if (line[0], line[2]) == (lines[0][0], lines[0][2])]
    return whole[0][0], whole[0][1], whole[0][2], whole[-1][3]  # the rest are ledger lines
