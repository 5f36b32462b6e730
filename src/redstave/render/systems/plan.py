"""Which bars and parts make up each system."""

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from redstave.model.score import Part, Score
from redstave.render.cut import LONGEST_LABEL
from redstave.render.systems.layout import Layout
from redstave.render.systems.widths import bar_widths, lead_width

FILLED = 0.92  # of a line: the estimate of its width may be a little short


class System(NamedTuple):
    """One system: its number from 0, its bars (indices, both included) and parts (ids)."""

    number: int
    first: int
    last: int
    parts: tuple[str, ...]


def plan(score: Score, layout: Layout, family: Mapping[str, str]) -> tuple[System, ...]:
    """Return the systems of the whole score; `family` is that of every part, by id.

    Bars are shared out so that they fill the width; a part that rests throughout a system is left
    out of it unless the layout asks for silent staves. A system in which everything rests shows all
    parts.
    """
    shown = [part for part in score.parts if _wanted(part, layout, family)] or list(score.parts)
    sounding = {part.id: _sounding(part) for part in shown}
    widths = bar_widths(score, {part.id for part in shown})
    systems = []
    for number, (first, last) in enumerate(_lines(widths, shown, layout)):
        bars = range(first, last + 1)
        heard = [part.id for part in shown if not sounding[part.id].isdisjoint(bars)]
        everybody = tuple(part.id for part in shown)
        parts = everybody if layout.silent or not heard else tuple(heard)
        systems.append(System(number, first, last, parts))
    return tuple(systems)


def system_at(systems: Sequence[System], bar: int) -> int:
    """Return the number of the system that holds a bar (index)."""
    return next((one.number for one in systems if one.last >= bar), len(systems) - 1)


def _wanted(part: Part, layout: Layout, family: Mapping[str, str]) -> bool:
    return not layout.families or family.get(part.id, "") in layout.families


def _sounding(part: Part) -> frozenset[int]:
    """Return the bars (indices) in which a part has anything but rests."""
    return frozenset(note.bar for note in part.notes if note.kind != "rest")


def _lines(
    widths: Sequence[float], parts: Sequence[Part], layout: Layout
) -> Iterator[tuple[int, int]]:
    """Yield the first and last bar of every line, filled greedily; a bar never falls out."""
    first = 0
    room = layout.width * FILLED
    used = lead_width([part.name[:LONGEST_LABEL] for part in parts])
    lead = lead_width([part.abbreviation or part.name[:LONGEST_LABEL] for part in parts])
    for bar, width in enumerate(widths):
        if bar > first and used + width > room:
            yield first, bar - 1
            first, used = bar, lead
        used += width
    if widths:
        yield first, len(widths) - 1
