"""Where there is room above a stave: bar numbers clear of high notes, words and beams.

The engraver lets bar numbers collide with ledger lines and leaves them out under rehearsal letters.
Here every bar of an excerpt gets its number, lifted over whatever is drawn near its beginning.
Lengths are in engraver's units.
"""

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple

from lxml import etree

from redstave.render.drawing import Drawing, point, staves
from redstave.render.page_xml import Element

ABOVE_STAVE = 260.0
HEIGHT = 300.0  # of a number
SIZE = "324px"  # in engraver's units too
INDENT = 45.0
CLEARANCE = 150.0
SLIGHT = 80.0  # what rises less than this over the stave is in nobody's way
BEFORE, AFTER = 90.0, 520.0  # how far left and right of the barline a number may touch something
_PAIR = re.compile(r"(-?\d+(?:\.\d+)?)[ ,]+(-?\d+(?:\.\d+)?)")


class Extent(NamedTuple):
    """How far a shape reaches: from left to right, and its highest point."""

    left: float
    right: float
    top: float


def write_bar_numbers(drawing: Drawing, numbers: Mapping[str, str]) -> Drawing:
    """Write a number over every bar; return the drawing, grown to hold them.

    `numbers` are the bars' printed numbers by our id of the bar.
    """
    drawn = extents(drawing)
    heights: list[float] = []
    for measure in drawing.body.iterfind(".//g[@class='measure']"):
        boxes = staves(measure)
        number = numbers.get(str(measure.get("data-n")), "")
        if boxes and number:
            x, top = boxes[0][0], boxes[0][1]
            heights.append(free_height(x - BEFORE, x + AFTER, top, drawn))
            group = etree.SubElement(measure, "g", attrib={"class": "mNum"})
            place = {"x": f"{x + INDENT:.0f}", "y": f"{heights[-1]:.0f}", "font-size": SIZE}
            etree.SubElement(group, "text", attrib=place).text = number
    margin = point(drawing.body)
    highest = min(heights, default=HEIGHT) + (margin[1] if margin else 0.0) - HEIGHT
    return replace(drawing, above=max(0.0, -highest))


def extents(drawing: Drawing) -> list[Extent]:
    """Return how far every shape of a drawing reaches."""
    return [extent for shape in drawing.body.iter() if (extent := _extent(shape)) is not None]


def free_height(
    left: float,
    right: float,
    stave: float,
    drawn: Sequence[Extent],
    ceiling: float = -math.inf,
) -> float:
    """Return the lowest y above a stave (its top line) that is clear between two x.

    What begins above `ceiling`, such as the stave above, is not looked at.
    """
    over = [
        shape.top - CLEARANCE
        for shape in drawn
        if shape.left < right and shape.right > left and ceiling < shape.top < stave - SLIGHT
    ]
    return min([stave - ABOVE_STAVE, *over])


def _extent(shape: Element) -> Extent | None:
    parent = shape.getparent()
    if parent is None:
        return None
    if shape.tag == "use":
        place = point(shape)
        return None if place is None else Extent(place[0], place[0] + 226.0, place[1])
    if shape.tag in ("text", "rect"):
        x, y = float(shape.get("x", "0")), float(shape.get("y", "0"))
        width = float(shape.get("width", "0")) or 200.0 * len("".join(map(str, shape.itertext())))
        return Extent(x, x + width, y - (280.0 if shape.tag == "text" else 0.0))
    pairs = _PAIR.findall(shape.get("d", "") or shape.get("points", ""))
    xs, ys = [float(x) for x, _ in pairs], [float(y) for _, y in pairs]
    return Extent(min(xs), max(xs), min(ys)) if pairs else None
