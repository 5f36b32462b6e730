"""Engraved excerpts: a few bars of a few staves, the notes in question ringed.

An excerpt is cut from the page (`cut`), engraved in the child process (`engraver`), made flat
(`drawing`) and marked (`rings`). All excerpts of a letter go through the engraver in one batch.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from html import escape
from typing import NamedTuple

from lxml import etree

from redstave.render.clearance import write_bar_numbers
from redstave.render.cut import Cut, Passage, cut
from redstave.render.drawing import Drawing, drawing
from redstave.render.engraver import Engraving, Job, Patience, engrave
from redstave.render.page_xml import Page
from redstave.render.rings import bracket_bars, ring_notes

LONGEST = 6  # bars
PX_PER_UNIT = 0.043  # a stave of 720 units is 31 px high
WIDEST_PX = 780.0
SMALLEST = 0.8  # an excerpt may be set this much smaller before bars are left out
TRIES = 3
_NAMESPACES = re.compile(r' xmlns(?::\w+)?="[^"]*"')


class ExcerptRequest(NamedTuple):
    """What to show: bars by index (both included), parts by id, notes to ring by id.

    `brackets` are (bar index, part, stave from 1) to be bracketed where no note is in question;
    `title` is what a screen reader says instead of the picture.
    """

    first: int
    last: int
    parts: tuple[str, ...]
    notes: tuple[str, ...] = ()
    brackets: tuple[tuple[int, str, int], ...] = ()
    title: str = ""


@dataclass(frozen=True, slots=True)
class Excerpt:
    """An engraved excerpt as inline SVG, whose glyphs are defined once by `glyph_sheet`.

    `svg` is "" when the passage could not be engraved; `remark` then says so. Otherwise `remark`
    says what was left out, if anything.
    """

    svg: str
    glyphs: tuple[tuple[str, str], ...]
    first: int
    last: int
    width_px: float = 0.0
    remark: str = ""


def excerpts(
    page: Page, requests: Sequence[ExcerptRequest], patience: Patience | None = None
) -> tuple[Excerpt, ...]:
    """Engrave all requests, in order; what comes out too wide is set again with fewer bars."""
    wanted = [_shortened(request, page.bar_count) for request in requests]
    done: dict[int, Excerpt] = {}
    for attempt in range(TRIES):
        rest = [index for index in range(len(wanted)) if index not in done]
        jobs = [_job(cut(page, _passage(wanted[index]))) for index in rest]
        for index, engraving in zip(rest, engrave(jobs, patience), strict=True):
            fitting = None if attempt == TRIES - 1 else _fewer(wanted[index], engraving)
            if fitting is None:
                done[index] = _excerpt(page, requests[index], wanted[index], engraving)
            else:
                wanted[index] = fitting
    return tuple(done[index] for index in range(len(wanted)))


def glyph_sheet(glyphs: dict[str, str]) -> str:
    """Return one hidden SVG that defines the glyphs all excerpts of a letter use."""
    paths = "".join(
        f'<path id="g{escape(name)}" transform="scale(1,-1)" d="{escape(outline)}"/>'
        for name, outline in sorted(glyphs.items())
    )
    return f'<svg class="glyphs" aria-hidden="true" width="0" height="0"><defs>{paths}</defs></svg>'


def _shortened(request: ExcerptRequest, bar_count: int) -> ExcerptRequest:
    last = min(request.last, request.first + LONGEST - 1, bar_count - 1)
    return request._replace(last=last)


def _passage(request: ExcerptRequest) -> Passage:
    return Passage(request.first, request.last, request.parts)


def _job(piece: Cut) -> Job:
    return Job(piece.xml, piece.show)


def _fewer(request: ExcerptRequest, engraving: Engraving) -> ExcerptRequest | None:
    """Return the request with as many bars as fit, None when it fits as it is."""
    if not engraving.svg or request.first == request.last:
        return None
    width = drawing(engraving.svg).width * PX_PER_UNIT
    room = WIDEST_PX / SMALLEST
    if width <= room:
        return None
    bars = request.last - request.first + 1
    fitting = min(bars - 1, max(1, int(bars * room / width)))
    return request._replace(last=request.first + fitting - 1)


def _excerpt(
    page: Page, asked: ExcerptRequest, shown: ExcerptRequest, engraving: Engraving
) -> Excerpt:
    if not engraving.svg:
        return Excerpt("", (), shown.first, shown.last, remark=_sentence(engraving.failure))
    picture = drawing(engraving.svg)
    _brackets(page, picture, shown)
    ring_notes(picture, asked.notes)
    picture = write_bar_numbers(picture, _numbers(page, shown))
    remark = ""
    if shown.last < asked.last:
        whole = asked.last - asked.first + 1
        remark = f"The first {shown.last - shown.first + 1} of {whole} bars."
        remark = remark.replace("The first 1 of", "The first of")
    glyphs = tuple(sorted(picture.glyphs.items()))
    width = min(picture.width * PX_PER_UNIT, WIDEST_PX)
    return Excerpt(
        _svg(picture, asked.title, width), glyphs, shown.first, shown.last, width, remark
    )


def _brackets(page: Page, picture: Drawing, shown: ExcerptRequest) -> None:
    kept = [part for part in page.parts if part.id in shown.parts]
    above: dict[str, int] = {}
    count = 0
    for part in kept:
        above[part.id] = count
        count += part.staves_at(shown.first)
    staves: dict[int, list[str]] = {}
    for bar, name, stave in shown.brackets:
        if name in above:
            staves.setdefault(above[name] + stave - 1, []).append(f"{kept[0].id}.{bar}")
    for stave, bars in sorted(staves.items()):
        if staves.get(stave - 1) == bars:
            continue  # the bracket above holds it too
        lowest = stave
        while staves.get(lowest + 1) == bars:
            lowest += 1
        bracket_bars(picture, bars, stave, lowest if lowest > stave else None)


def _numbers(page: Page, shown: ExcerptRequest) -> dict[str, str]:
    """Return the printed number of every bar shown, by the id the engraver gave the bar."""
    top = next(part for part in page.parts if part.id in shown.parts)
    bars = list(enumerate(top.bars))[shown.first : shown.last + 1]
    return {f"{top.id}.{index}": str(bar.get("number") or index + 1) for index, bar in bars}


def _svg(picture: Drawing, title: str, width: float) -> str:
    body = etree.tostring(picture.body, encoding="unicode", with_tail=False)
    body = _NAMESPACES.sub("", body, count=2)  # inline SVG needs none
    height = picture.height + picture.above
    return (
        f'<svg class="score" role="img" aria-label="{escape(title)}"'
        f' viewBox="0 {-picture.above:g} {picture.width:g} {height:g}" width="{width:.0f}"'
        f' height="{width * height / picture.width:.0f}">{body}</svg>'
    )


def _sentence(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}."
