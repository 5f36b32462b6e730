"""The cheapest way to read an entry along its original: bars in order, cuts, repeats, insertions.

The way is a row of steps. A step sets `k` bars of the entry beside `l` bars of the original (most
often one beside one; two beside one where note values are doubled). Between steps the entry may
jump ahead in the original (a cut), back (a repeat written out), or go on without it (inserted
bars). What a step gains is how much its bars have in common beyond what is common anyway; what a
jump costs is set here. The costs are ours, set on invented pairs (docs/evidence.md).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from redstave.original.sounding import Floats, Ints

CUT, CUT_A_BAR, CUT_AT_MOST = 0.35, 0.03, 1.5  # a jump ahead: at once, for each bar, in all
BACK, REPEAT_SIGN = 1.5, 0.05  # a jump back; one that a repeat sign asks for
ECHO, ECHO_A_BAR = 0.6, 0.3  # a jump back over a bar just heard, and for each bar more
LEAP = 0.3  # a jump back where the entry itself is played from elsewhere on the page
LEAVE, INSERTED = 0.4, 0.05  # leaving the original, and each bar without it
LONGEST_ECHO = 3
NEVER = -1e9
Shape = tuple[int, int]


class Step(NamedTuple):
    """Rows `row` … `row + rows - 1` of the entry beside so many bars of the original."""

    row: int
    bar: int
    rows: int
    bars: int


@dataclass(frozen=True)
class Ground:
    """What is to be walked: `gains` [rows, bars] for each shape of step, by where it begins.

    `signs` are the (bar, next bar) that repeat signs of the original allow. `leaps` [rows + 1] tell
    by how many bars the entry leaps on its own page before a row, `alike` whether the bars of the
    original are such as it may leap by in the same way.
    """

    rows: int
    bars: int
    gains: Mapping[Shape, Floats]
    leaps: Ints
    signs: Sequence[tuple[int, int]] = ()
    alike: bool = False

    def turned(self) -> "Ground":
        """Return the same ground walked from the end to the beginning."""
        last = self.bars - 1
        return Ground(
            self.rows,
            self.bars,
            {shape: gain[::-1, ::-1] for shape, gain in self.gains.items()},
            self.leaps[::-1],
            [(last - then, last - bar) for bar, then in self.signs],
            self.alike,
        )

    def leap(self, row: int) -> int:
        """Return by how many bars the original may leap as the entry does before a row."""
        return int(self.leaps[row]) if self.alike else 0


class Values(NamedTuple):
    """What is still to be gained from a row on, with the original at a bar [rows + 1, bars + 1].

    `step`: when a step begins there; `on`: in the best way; `off`: when the row has no bar.
    """

    step: Floats
    on: Floats
    off: Floats


def values(ground: Ground) -> Values:
    """Return what is still to be gained from every place."""
    shape = ground.rows + 1, ground.bars + 1
    step, on, off = (np.full(shape, NEVER) for _ in range(3))
    left = ground.bars - np.arange(ground.bars + 1)
    on[-1] = off[-1] = -np.where(left > 0, np.minimum(CUT + CUT_A_BAR * left, CUT_AT_MOST), 0.0)
    for row in range(ground.rows - 1, -1, -1):
        here = step[row]
        for (rows, bars), gain in ground.gains.items():
            if row < gain.shape[0]:
                begun = gain[row] + on[row + rows, bars:]
                np.maximum(here[: gain.shape[1]], begun, out=here[: gain.shape[1]])
        matched = np.maximum(here, jumped(here, _back(ground, row), ground.signs, ground.leap(row)))
        off[row] = np.maximum(off[row + 1], on[row + 1]) - INSERTED
        on[row] = np.maximum(matched, off[row] - LEAVE)
    return Values(step, on, off)


def _back(ground: Ground, row: int) -> float:
    return LEAP if ground.leaps[row] else BACK


def _echoes(back_costs: float) -> list[tuple[int, float]]:
    """Return how many bars can be heard again at once for less than any jump back costs."""
    costs = ((bars, ECHO + ECHO_A_BAR * (bars - 1)) for bars in range(1, LONGEST_ECHO + 1))
    return [(bars, cost) for bars, cost in costs if cost < back_costs]


def jumped(
    step: Floats, back_costs: float, signs: Sequence[tuple[int, int]], leap: int = 0
) -> Floats:
    """Return the best that is left after a jump from each bar [bars + 1]."""
    slope = CUT_A_BAR * np.arange(step.size)
    best = np.maximum.accumulate((step - slope)[::-1])[::-1]
    anywhere = np.maximum.accumulate(step[::-1])[::-1]
    found = np.full(step.size, NEVER)
    np.maximum(best[1:] + slope[:-1] - CUT, anywhere[1:] - CUT_AT_MOST, out=found[:-1])
    back = np.maximum.accumulate(step)[:-1] - back_costs
    np.maximum(found[1:], back, out=found[1:])
    for bars, costs in _echoes(back_costs):
        np.maximum(found[bars:], step[:-bars] - costs, out=found[bars:])
    for bar, then in signs:
        found[bar + 1] = max(found[bar + 1], step[then] - REPEAT_SIGN)
    if leap:
        here, there = (
            slice(max(0, -leap), min(0, -leap) or None),
            slice(max(0, leap), min(0, leap) or None),
        )
        np.maximum(found[here], step[there] - REPEAT_SIGN, out=found[here])
    return found


def walk(ground: Ground, known: Values) -> list[Step]:
    """Return the steps of the best way."""
    steps: list[Step] = []
    row = bar = 0
    away = False
    while row < ground.rows:
        target, value = _onward(
            known.step[row], bar, _back(ground, row), ground.signs, ground.leap(row)
        )
        away = known.off[row, bar] - (0.0 if away else LEAVE) > value
        if away:
            row += 1
            continue
        step = _begun(ground, known, row, target)
        steps.append(step)
        row, bar = row + step.rows, target + step.bars
    return steps


def _onward(
    step: Floats, bar: int, back_costs: float, signs: Sequence[tuple[int, int]], leap: int = 0
) -> tuple[int, float]:
    """Return the bar at which the next step is best begun, and what it is worth from here."""
    away = np.arange(step.size) - bar
    cost = np.where(away > 0, np.minimum(CUT + CUT_A_BAR * away, CUT_AT_MOST), back_costs)
    for bars, costs in _echoes(back_costs):
        if bars <= bar:
            cost[bar - bars] = costs
    cost[bar] = 0.0
    for end, then in signs:
        if end + 1 == bar:
            cost[then] = min(cost[then], REPEAT_SIGN)
    if leap and 0 <= bar + leap < cost.size:
        cost[bar + leap] = min(cost[bar + leap], REPEAT_SIGN)
    worth = step - cost
    target = int(np.argmax(worth))
    return target, float(worth[target])


def _begun(ground: Ground, known: Values, row: int, bar: int) -> Step:
    """Return the best step that begins at a place where one can begin."""
    worth = {
        (rows, bars): gain[row, bar] + known.on[row + rows, bar + bars]
        for (rows, bars), gain in ground.gains.items()
        if row < gain.shape[0] and bar < gain.shape[1]
    }
    return Step(row, bar, *max(worth, key=lambda shape: worth[shape]))


def images(rows: int, bars: int) -> list[tuple[int, int]]:
    """Return which of the bars of a step stand beside which: (row, bar) pairs from 0."""
    if rows >= bars:
        return [(row, row * bars // rows) for row in range(rows)]
    return [(bar * rows // bars, bar) for bar in range(bars)]


def doubts(ground: Ground, known: Values) -> tuple[Floats, Floats]:
    """Return what the whole way is worth if a row stands beside a bar [rows, bars], or none [rows].

    The best way is worth the most; how much less another is worth tells how sure a bar is.
    """
    before = values(ground.turned())
    on = before.on[::-1, ::-1]  # what was gained before a row and a bar
    beside = np.full((ground.rows, ground.bars), NEVER)
    for (rows, bars), gain in ground.gains.items():
        if not gain.size:
            continue
        deep, wide = gain.shape
        whole = on[:deep, :wide] + gain + known.on[rows : rows + deep, bars : bars + wide]
        for row, bar in images(rows, bars):
            part = beside[row : row + deep, bar : bar + wide]
            np.maximum(part, whole, out=part)
    off = before.off[::-1, ::-1]
    none = (off[1:] + known.off[:-1]).max(axis=1, initial=NEVER) + INSERTED - LEAVE
    return beside, none
