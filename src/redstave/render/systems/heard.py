"""Hearing ribbons under the staves of a painted system.

The shapes are those of the letter, drawn small: *heard* is a full band, *doubtful* half its height
and hatched, *covered* an outline that hangs below. A stave shared by several lines shows the worst
of them; who it is, and by how much, is told in words beside.
"""

from collections.abc import Iterator, Mapping, Sequence
from html import escape
from itertools import groupby
from typing import NamedTuple

from redstave.render.ink import fmt
from redstave.render.systems.paint import BarBox, Picture, StaveBox
from redstave.render.view import Audibility

BELOW = 210.0  # of a stave's lowest line: where the ribbon's upper edge lies
HEIGHT = 150.0
INSET = 40.0  # from a barline

#: From what matters most to what matters least.
WORST = (
    Audibility.COVERED,
    Audibility.DOUBTFUL,
    Audibility.UNKNOWN,
    Audibility.HEARD,
    Audibility.SILENT,
)


class Cell(NamedTuple):
    """What is heard on one stave in one bar (index)."""

    part: str
    stave: int
    bar: int
    state: Audibility


def worst(states: Sequence[Audibility]) -> Audibility:
    """Return the state of several lines that share a stave: the one that matters most."""
    return next((state for state in WORST if state in states), Audibility.SILENT)


def ribbon_rows(picture: Picture, cells: Mapping[tuple[str, int, int], Audibility]) -> str:
    """Draw the ribbons of a picture; `cells` are by part, stave and bar (index)."""
    return "".join(
        _row(stave, [(bar, _state(cells, stave, bar)) for bar in picture.bars])
        for stave in picture.staves
    )


def _state(
    cells: Mapping[tuple[str, int, int], Audibility], stave: StaveBox, bar: BarBox
) -> Audibility:
    return cells.get((stave.part, stave.stave, bar.bar), Audibility.SILENT)


def _row(stave: StaveBox, bars: Sequence[tuple[BarBox, Audibility]]) -> str:
    return "".join(_cells(stave, bars))


def _cells(stave: StaveBox, bars: Sequence[tuple[BarBox, Audibility]]) -> Iterator[str]:
    """Yield one shape for each run of bars of one state."""
    for state, run in groupby(bars, key=lambda pair: pair[1]):
        own = [bar for bar, _ in run]
        if state is not Audibility.SILENT:
            outline = _outline(state, own[0].left, own[-1].right, stave.bottom + BELOW)
            yield f'<path class="cell {escape(state)}" d="{outline}"/>'


def _outline(state: Audibility, left: float, right: float, top: float) -> str:
    x, width = fmt(left + INSET), fmt(right - left - 2 * INSET)
    back = fmt(-(right - left - 2 * INSET))
    if state is Audibility.UNKNOWN:
        return f"M{x} {fmt(top + HEIGHT / 2)}h{width}"
    height = HEIGHT / 2 if state is Audibility.DOUBTFUL else HEIGHT
    low = top + HEIGHT
    if state is Audibility.COVERED:
        return f"M{x} {fmt(top)}v{fmt(height)}h{width}v{fmt(-height)}"
    return f"M{x} {fmt(low)}v{fmt(-height)}h{width}v{fmt(height)}h{back}z"
