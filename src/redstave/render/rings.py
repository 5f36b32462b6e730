"""The teacher's hand on the engraving: rings round notes, brackets over bars.

A note in question is red *and* ringed, so that the mark survives print without colour and eyes
that cannot tell red from ink. The rings are drawn as a pencil would: not quite closed, one end
running past the other. Lengths are in engraver's units (a stave space is 180, a stave 720).
"""

import math
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from lxml import etree

from redstave.render.clearance import extents, free_height
from redstave.render.drawing import Drawing, by_name, point, staves
from redstave.render.page_xml import Element

HEAD_WIDTH = 314.0  # of a black note head at scale 1 in the engraver's font
PAD_X, PAD_Y = 160.0, 185.0
NEAR, BESIDE = 120.0, 110.0  # boxes so close share a ring: the notes of a chord, or of a run
_STEPS = 14
_TURN = 2.0 * math.pi * 1.06  # a little more than once round
_FROM = -2.2  # radians: begins at the upper left


class Box(NamedTuple):
    """A rectangle on the page."""

    left: float
    top: float
    right: float
    bottom: float

    def joined(self, other: "Box") -> "Box":
        """Return the smallest box round both."""
        return Box(
            min(self.left, other.left),
            min(self.top, other.top),
            max(self.right, other.right),
            max(self.bottom, other.bottom),
        )

    def touches(self, other: "Box") -> bool:
        """Tell whether the two overlap, or nearly do."""
        across = self.left - BESIDE < other.right and other.left - BESIDE < self.right
        return across and self.top - NEAR < other.bottom and other.top - NEAR < self.bottom


def ring_notes(drawing: Drawing, notes: Iterable[str]) -> int:
    """Mark notes and rests by id; return how many of them stand in this drawing."""
    groups = by_name(drawing.body)
    boxes: dict[int, list[Box]] = {}
    for name in dict.fromkeys(notes):
        box = _head_box(groups[name]) if name in groups else None
        if box is not None:
            groups[name].set("class", f"{groups[name].get('class', '')} asked".strip())
            boxes.setdefault(_stave(groups[name]), []).append(box)
    for stave in sorted(boxes):
        for box in _merged(boxes[stave]):
            etree.SubElement(drawing.body, "path", attrib={"class": "ring", "d": _loop(box)})
    return sum(map(len, boxes.values()))


def bracket_bars(
    drawing: Drawing, bars: Sequence[str], stave: int, lowest: int | None = None
) -> int:
    """Draw a bracket over bars (by our id) above their stave number `stave`, counted from 0.

    With `lowest` it holds all staves down to that one: its ends reach to the foot of it. Returns
    how many of the bars stand in this drawing.
    """
    groups = by_name(drawing.body)
    lines = [staves(groups[bar]) for bar in bars if bar in groups]
    boxes = [Box(*line[stave]) for line in lines if stave < len(line)]
    if boxes:
        whole = boxes[0]
        for box in boxes[1:]:
            whole = whole.joined(box)
        above = [line[stave - 1][3] for line in lines if 0 < stave < len(line)]
        height = free_height(
            whole.left,
            whole.right,
            whole.top,
            extents(drawing),
            max(above, default=-math.inf),
        )
        foot = max((line[lowest][3] for line in lines if lowest and lowest < len(line)), default=0)
        path = _bracket(whole, height, foot)
        etree.SubElement(drawing.body, "path", attrib={"class": "ring", "d": path})
    return len(boxes)


def _stave(group: Element) -> int:
    """Return the stave a note stands on, counted from 0 at the top of its bar."""
    stave = next((up for up in group.iterancestors("g") if up.get("class") == "staff"), None)
    above = stave.itersiblings("g", preceding=True) if stave is not None else ()
    return sum(1 for other in above if other.get("class") == "staff")


def _head_box(group: Element) -> Box | None:
    """Return the padded box round a note head or rest."""
    for use in group.iter("use"):
        parent = use.getparent()
        in_head = parent is not None and parent.get("class") == "notehead"
        if not in_head and "note" in str(group.get("class", "")).split():
            continue
        place = point(use)
        if place is not None:
            x, y, scale = place
            width = HEAD_WIDTH * scale
            return Box(x - PAD_X, y - PAD_Y, x + width + PAD_X, y + PAD_Y)
    return None


def _merged(boxes: Sequence[Box]) -> list[Box]:
    """Join boxes that overlap, until none do: a run or a chord gets one ring."""
    rest = list(boxes)
    whole: list[Box] = []
    while rest:
        box = rest.pop()
        near = [other for other in rest + whole if box.touches(other)]
        if not near:
            whole.append(box)
            continue
        rest = [other for other in rest if other not in near]
        whole = [other for other in whole if other not in near]
        for other in near:
            box = box.joined(other)
        rest.append(box)
    return sorted(whole)


def _loop(box: Box) -> str:
    """Return a pencil loop round a box as an SVG path."""
    cx, cy = (box.left + box.right) / 2, (box.top + box.bottom) / 2
    rx, ry = (box.right - box.left) / 2 * 1.04, (box.bottom - box.top) / 2 * 1.06
    slender = max(rx, ry) / min(rx, ry)
    bend = 2.0 / min(5.0, 1.7 + 0.45 * slender)  # the longer, the more like a rounded box
    points = []
    for step in range(_STEPS + 1):
        angle = _FROM + _TURN * step / _STEPS
        grown = 1.0 + 0.055 * step / _STEPS
        across, down = math.cos(angle), math.sin(angle)
        x = cx + grown * rx * math.copysign(abs(across) ** bend, across)
        y = cy + grown * ry * math.copysign(abs(down) ** bend, down)
        points.append((x, y))
    return _smooth(points)


def _smooth(points: Sequence[tuple[float, float]]) -> str:
    """Join points by a smooth curve (Catmull-Rom, written as cubic Béziers)."""
    padded = [points[0], *points, points[-1]]
    pieces = [f"M{points[0][0]:.0f} {points[0][1]:.0f}"]
    for before, start, stop, after in zip(padded, padded[1:], padded[2:], padded[3:], strict=False):
        first = (start[0] + (stop[0] - before[0]) / 6, start[1] + (stop[1] - before[1]) / 6)
        second = (stop[0] - (after[0] - start[0]) / 6, stop[1] - (after[1] - start[1]) / 6)
        pieces.append(
            f"C{first[0]:.0f} {first[1]:.0f} {second[0]:.0f} {second[1]:.0f}"
            f" {stop[0]:.0f} {stop[1]:.0f}"
        )
    return "".join(pieces)


def _bracket(box: Box, top: float, foot: float) -> str:
    end = max(top + 150.0, foot)
    return (
        f"M{box.left + 60:.0f} {end:.0f}L{box.left + 75:.0f} {top:.0f}"
        f"L{box.right - 75:.0f} {top - 12:.0f}L{box.right - 60:.0f} {end:.0f}"
    )
