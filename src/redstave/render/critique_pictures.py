"""The pictures of a finished letter: excerpts, trials, scales, the whole piece.

On the screen they are inline SVG that takes its colours from the page; for the page maker of the
PDF each is an image that stands by itself.
"""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple

from markupsafe import Markup

from redstave.render.band_scale import band_scale
from redstave.render.critique_view import CritiqueView, PointView
from redstave.render.excerpt import Excerpt, excerpts, glyph_sheet
from redstave.render.heard_picture import heard_picture, not_shown
from redstave.render.level_plan import level_plan
from redstave.render.page_xml import Page
from redstave.render.paper import images
from redstave.render.ribbons import ribbons

_SIZE = re.compile(r' width="(\d+)" height="\d+"')


class Medium(StrEnum):
    """What the pictures are for."""

    SCREEN = "screen"
    PAPER = "paper"


class Picture(NamedTuple):
    """A picture as markup, "" where there is none, and what is to be said of it."""

    markup: Markup
    remark: str = ""


@dataclass(frozen=True, slots=True)
class Drawn:
    """Everything of a letter that takes long to draw, as inline SVG, ready for either medium."""

    excerpts: Mapping[str, tuple[Excerpt, ...]]  # by anchor
    trials: Mapping[str, tuple[str, str]]  # by anchor: the picture, and what it leaves out
    scales: tuple[str, ...]
    ribbons: str
    levels: str
    strips: tuple[str, ...]

    @property
    def glyphs(self) -> dict[str, str]:
        """The outlines of every glyph that the excerpts use."""
        return {
            name: outline
            for shown in self.excerpts.values()
            for excerpt in shown
            for name, outline in excerpt.glyphs
        }


@dataclass(frozen=True, slots=True)
class Pictures:
    """The pictures as a template gets them; `excerpts` and `trials` by the anchor of a remark."""

    excerpts: Mapping[str, tuple[Picture, ...]]
    trials: Mapping[str, Picture]
    scales: tuple[Markup, ...]
    ribbons: Markup
    levels: Markup
    strips: tuple[Markup, ...]
    glyphs: Markup


def draw(view: CritiqueView, source: Page) -> Drawn:
    """Draw the pictures of a letter; excerpts are cut from the page, in one batch."""
    shown = [point for point in view.points if point.requests]
    made = iter(excerpts(source, [request for point in shown for request in point.requests]))
    return Drawn(
        excerpts={point.anchor: tuple(next(made) for _ in point.requests) for point in shown},
        trials=_trials(view.points),
        scales=tuple(band_scale(criterion) for criterion in view.criteria),
        ribbons=ribbons(view.whole) if view.whole.hearing else "",
        levels=level_plan(view.whole) if view.whole.levels else "",
        strips=tuple(strip.svg for strip in view.strips),
    )


def pictures(drawn: Drawn, medium: Medium, sheet: str) -> Pictures:
    """Return drawn pictures for a medium; `sheet` is the style of the page they go into."""
    glyphs = drawn.glyphs

    def made(svg: str) -> Markup:
        sized = _SIZE.sub(r' style="--w:\1px"', svg, count=1) if 'class="score"' in svg else svg
        return Markup(sized) if medium is Medium.SCREEN else images(sized, sheet, glyphs)

    def shown(all_: Sequence[Excerpt]) -> tuple[Picture, ...]:
        return tuple(Picture(made(one.svg), one.remark) for one in all_)

    return Pictures(
        excerpts={anchor: shown(all_) for anchor, all_ in drawn.excerpts.items()},
        trials={anchor: Picture(made(svg), rest) for anchor, (svg, rest) in drawn.trials.items()},
        scales=tuple(made(svg) for svg in drawn.scales),
        ribbons=made(drawn.ribbons),
        levels=made(drawn.levels),
        strips=tuple(made(svg) for svg in drawn.strips),
        glyphs=Markup(glyph_sheet(glyphs)) if medium is Medium.SCREEN and glyphs else Markup(""),
    )


def _trials(points: Iterable[PointView]) -> dict[str, tuple[str, str]]:
    return {
        point.anchor: (heard_picture(point.trial), not_shown(point.trial))
        for point in points
        if point.trial is not None
    }
