"""One system painted: cut from the page, engraved, cleaned, its staves and bars measured."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from lxml import etree

from redstave.render.clearance import write_bar_numbers
from redstave.render.cut import Passage, cut
from redstave.render.drawing import Drawing, drawing, point, staves
from redstave.render.engraver import FAILED, Engraver, Engraving, Job
from redstave.render.page_xml import Element, Page
from redstave.render.systems.allowed import is_outline, keep_allowed
from redstave.render.systems.layout import Layout, Pitch
from redstave.render.systems.plan import System

VERSION = 3  # of what this module makes: a new one makes older paintings useless
#: Room for a ribbon between the staves, in half stave spaces.
_OPTIONS = (("spacingStaff", 13), ("pageMarginTop", 40), ("pageMarginBottom", 40))
_SOUNDING = (("transposeToSoundingPitch", True),)
_NAMESPACES = re.compile(r' xmlns(?::\w+)?="[^"]*"')


class StaveBox(NamedTuple):
    """One stave of a system: its part (id), its number in the part, where its lines lie."""

    part: str
    stave: int
    top: float
    bottom: float


class BarBox(NamedTuple):
    """One bar of a system: its index in the score, where it begins and ends."""

    bar: int
    left: float
    right: float


@dataclass(frozen=True, slots=True)
class Picture:
    """A painted system. Lengths are page coordinates: a stave is 720 high.

    `body` is SVG to stand inside a drawing of `width` by `height`, moved by `shift`, as `staves`
    and `bars` are; `above` is how far it reaches over the upper edge. `glyphs` are code points and
    outlines that the drawing refers to. `failure` is "" or says why there is no drawing.
    """

    first: int
    last: int
    body: str = ""
    width: float = 0.0
    height: float = 0.0
    above: float = 0.0
    shift: tuple[float, float] = (0.0, 0.0)
    glyphs: tuple[tuple[str, str], ...] = ()
    staves: tuple[StaveBox, ...] = ()
    bars: tuple[BarBox, ...] = ()
    failure: str = ""


def paint(page: Page, system: System, layout: Layout, engraver: Engraver) -> Picture:
    """Paint one system; what cannot be engraved is a Picture with a sentence instead."""
    return picture(page, system, engraver.engrave(job_of(page, system, layout)))


def job_of(page: Page, system: System, layout: Layout) -> Job:
    """Cut a system out of the page for the engraver."""
    piece = cut(page, Passage(system.first, system.last, system.parts, short=system.number > 0))
    options = _OPTIONS + (_SOUNDING if layout.pitch is Pitch.SOUNDING else ())
    return Job(piece.xml, piece.show, options, layout.width // 10)


def picture(page: Page, system: System, engraving: Engraving) -> Picture:
    """Clean and measure what the engraver made of a system."""
    if not engraving.svg:
        return Picture(system.first, system.last, failure=engraving.failure or FAILED)
    drawn = drawing(engraving.svg)
    measures = drawn.body.findall(".//g[@class='measure']")
    drawn = write_bar_numbers(drawn, _numbers(page, system, measures))
    keep_allowed(drawn.body)
    move = point(drawn.body) or (0.0, 0.0, 1.0)
    return Picture(
        first=system.first,
        last=system.last,
        body=_inside(drawn),
        width=drawn.width,
        height=drawn.height,
        above=drawn.above,
        shift=(move[0], move[1]),
        glyphs=tuple(sorted((name, d) for name, d in drawn.glyphs.items() if is_outline(d))),
        staves=tuple(_staves(page, system, measures)),
        bars=tuple(_bars(measures)),
    )


def _inside(drawn: Drawing) -> str:
    pieces = (etree.tostring(child, encoding="unicode") for child in drawn.body)
    return _NAMESPACES.sub("", "".join(pieces))


def _index(measure: Element) -> int:
    """Return the index of a bar, which its id ends with."""
    return int(str(measure.get("data-n")).rpartition(".")[2])


def _numbers(page: Page, system: System, measures: Sequence[Element]) -> dict[str, str]:
    """Return the printed number of every bar shown, by the id the engraver gave it."""
    bars = next(part for part in page.parts if part.id in system.parts).bars
    found = {str(measure.get("data-n")): _index(measure) for measure in measures}
    return {
        name: str(bars[at].get("number") or at + 1) for name, at in found.items() if at < len(bars)
    }


def _bars(measures: Sequence[Element]) -> Iterator[BarBox]:
    for measure in measures:
        boxes = staves(measure)
        if boxes:
            yield BarBox(_index(measure), boxes[0][0], boxes[0][2])


def _staves(page: Page, system: System, measures: Sequence[Element]) -> Iterator[StaveBox]:
    """Yield the staves of a system from top to bottom, as its first bar has them."""
    kept = [part for part in page.parts if part.id in system.parts]
    names = [
        (part.id, stave) for part in kept for stave in range(1, part.staves_at(system.first) + 1)
    ]
    boxes = staves(measures[0]) if measures else []
    for (part, stave), box in zip(names, boxes, strict=False):
        yield StaveBox(part, stave, box[1], box[3])
