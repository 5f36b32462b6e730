"""The few elements and attributes that a drawing of the engraver may hold.

A score is a stranger's file, and the engraver copies its words into the drawing. Whatever is not
listed here, or has a value of another form, is taken out before the drawing reaches a browser: no
script, no link, no style, no address. Words stay words: they are escaped when the drawing is
written.
"""

import re

from redstave.render.page_xml import Element

ELEMENTS = frozenset(
    {"g", "path", "use", "text", "tspan", "rect", "polygon", "polyline", "ellipse", "circle"}
)
_NUMBER = r"-?\d+(?:\.\d+)?(?:e-?\d+)?"
_NUMBERS = re.compile(rf"{_NUMBER}(?:[\s,]+{_NUMBER})*\s*\Z")
_LENGTH = re.compile(rf"{_NUMBER}(?:px)?\Z")
_WORD = re.compile(r"[a-zA-Z][a-zA-Z-]*\Z")
_WORDS = re.compile(r"[a-zA-Z][a-zA-Z0-9 -]*\Z")
_PLACE = re.compile(
    rf"(?:(?:translate|scale|rotate|matrix)\({_NUMBER}(?:[\s,]+{_NUMBER})*\)\s*)+\Z"
)
_OUTLINE = re.compile(r"[MmLlHhVvCcSsQqTtAaZz\d\s,.eE+-]*\Z")

#: What the value of each attribute must look like.
ATTRIBUTES = {
    **dict.fromkeys(("x", "y", "cx", "cy", "r", "rx", "ry", "width", "height"), _LENGTH),
    **dict.fromkeys(("dx", "dy"), _NUMBERS),
    **dict.fromkeys(("stroke-width", "font-size", "letter-spacing"), _LENGTH),
    **dict.fromkeys(("fill-opacity", "stroke-opacity", "opacity"), _LENGTH),
    **dict.fromkeys(("points", "stroke-dasharray"), _NUMBERS),
    **dict.fromkeys(
        ("font-style", "font-weight", "text-anchor", "stroke-linecap", "stroke-linejoin"), _WORD
    ),
    **dict.fromkeys(("fill", "stroke"), re.compile(r"(?:none|currentColor)\Z")),
    "class": _WORDS,
    "font-family": re.compile(r"Leipzig\Z"),
    "data-n": re.compile(r"[\w.-]+\Z"),
    "transform": _PLACE,
    "d": _OUTLINE,
    "href": re.compile(r"#g[0-9A-F]{4,6}\Z"),
}


def keep_allowed(body: Element) -> None:
    """Take out of a drawing, in place, every element and attribute that is not listed."""
    for element in list(body.iter()):
        if element.tag not in ELEMENTS:
            parent = element.getparent()
            if parent is not None:
                _cut_out(parent, element)
            continue
        for name, value in list(element.attrib.items()):
            form = ATTRIBUTES.get(str(name))
            if form is None or not form.match(str(value)):
                del element.attrib[name]


def is_outline(outline: str) -> bool:
    """Tell whether the outline of a glyph is nothing but an outline."""
    return bool(_OUTLINE.match(outline))


def _cut_out(parent: Element, element: Element) -> None:
    """Remove an element with all it holds, but not the words that follow it."""
    before = element.getprevious()
    if element.tail:
        if before is not None:
            before.tail = (before.tail or "") + element.tail
        else:
            parent.text = (parent.text or "") + element.tail
    parent.remove(element)
