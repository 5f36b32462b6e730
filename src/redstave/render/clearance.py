"""Where there is room above a stave: bar numbers clear of high notes, words and beams.

The engraver sets every number at the same height and lets it collide with ledger lines. Here each
number is lifted over whatever is drawn near the beginning of its bar. Lengths are in engraver's
units.
"""

import math
import re
from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

from redstave.render.drawing import Drawing, point, staves
from redstave.render.page_xml import Element

ABOVE_STAVE = 230.0
HEIGHT = 300.0  # of a number
CLEARANCE = 150.0
SLIGHT = 80.0  # what rises less than this over the stave is in nobody's way
BEFORE, AFTER = 330.0, 420.0  # how far left and right of the barline a number may touch something
_PAIR = re.compile(r"(-?\d+(?:\.\d+)?)[ ,]+(-?\d+(?:\.\d+)?)")


class Extent(NamedTuple):
    """How far a shape reaches: from left to right, and its highest point."""

    left: float
    right: float
    top: float


def place_bar_numbers(drawing: Drawing) -> Drawing:
    """Move every bar number to a free height over its bar; return the drawing, grown to hold it."""
    drawn = extents(drawing)
    heights: list[float] = []
    for measure in drawing.body.iterfind(".//g[@class='measure']"):
        boxes = staves(measure)
        for text in measure.iterfind("g[@class='mNum']/text"):
            if boxes:
                x, top = float(text.get("x", "0")), boxes[0][1]
                heights.append(free_height(x - BEFORE, x + AFTER, top, drawn))
                text.set("y", f"{heights[-1]:.0f}")
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
    if parent is None or parent.get("class") == "mNum":
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
