"""A trial at a glance: for each line its margin before and after, with uncertainty and state.

Bars run from the masked threshold (0 dB) to the margin, before as an outline, after in ink; a
whisker reaches one standard deviation to either side. The state is said in a word and in a shape:
a full disc is heard, a half one doubtful, a ring covered.
"""

from collections.abc import Iterator, Sequence

from redstave.model.remark import Heard, LinkedTrial
from redstave.render.changes import decibels
from redstave.render.ink import fmt, line, path, shortened, svg, text
from redstave.render.typed import one_line
from redstave.render.wording import listed

WIDTH = 600.0  # px at full size
_LEFT, _RIGHT = 236.0, 12.0  # beside the bars: states and figures on the left
_HEAD, _ROW, _FOOT = 26.0, 70.0, 4.0
_BAR = 11.0
_LEAST_DB, _MOST_DB = 12.0, 36.0  # how far the axis reaches to either side
_LONGEST_NAME = 30  # characters
MOST_ROWS = 5  # lines drawn, unless more of them change their state
_MOST_NAMED = 8  # of those not drawn
_STEPS = (1, 2, 3, 6, 12)  # dB between two marks of the axis


class _Axis:
    """Places decibels on the picture."""

    def __init__(self, rows: Sequence[Heard]) -> None:
        values = [0.0]
        for row in rows:
            values += [one + side for one in (row.before_db, row.after_db) for side in _spread(row)]
        reach = [min(_MOST_DB, max(0.0, -min(values))), min(_MOST_DB, max(0.0, max(values)))]
        grown = max(1.0, _LEAST_DB / (sum(reach) or 1.0))
        reach = [max(3.0, one * grown) for one in reach]
        self.low, self.high = -reach[0] * 1.06, reach[1] * 1.06

    def x(self, value: float) -> float:
        """Return where a margin stands; what lies beyond the axis stands at its end."""
        inside = min(self.high, max(self.low, value))
        width = WIDTH - _LEFT - _RIGHT
        return _LEFT + (inside - self.low) / (self.high - self.low) * width

    def marks(self) -> Iterator[int]:
        """Yield the decibels that are marked."""
        span = self.high - self.low
        step = next((one for one in _STEPS if span / one <= 7), 12)
        first = -int(-self.low // step) * step
        yield from range(first, int(self.high) + 1, step)


def heard_picture(trial: LinkedTrial) -> str:
    """Draw what the hall hears before and after a trial, as an SVG; see `shown`."""
    rows, _ = shown(trial)
    axis = _Axis(rows)
    height = _HEAD + _ROW * len(rows) + _FOOT
    pieces = list(_frame(axis, height))
    for index, row in enumerate(rows):
        pieces += _row(row, axis, _HEAD + index * _ROW)
    return svg(WIDTH, height, "margins", words_of(trial), pieces)


def shown(trial: LinkedTrial) -> tuple[tuple[Heard, ...], tuple[Heard, ...]]:
    """Return the lines to draw and the others, which keep their state.

    Every line whose state changes is drawn, and of the rest as many as there is room for.
    """
    changed = sum(1 for one in trial.heard if one.before != one.after)
    ranked = sorted(trial.heard, key=lambda one: one.before == one.after)
    most = max(changed, MOST_ROWS)
    drawn = {id(one) for one in ranked[:most]}
    rows = tuple(one for one in trial.heard if id(one) in drawn)
    return rows, tuple(one for one in trial.heard if id(one) not in drawn)


def not_shown(trial: LinkedTrial) -> str:
    """Return a sentence on the lines that are not drawn, "" where all are."""
    _, others = shown(trial)
    names = listed([one_line(one.who) for one in others], _MOST_NAMED)
    return f"Not drawn, because they stay as they are: {names}." if others else ""


def words_of(trial: LinkedTrial) -> str:
    """Return what the picture says, for those who do not see it."""
    rows, _ = shown(trial)
    return "Audibility margins before and after. " + " ".join(map(heard_words, rows))


def heard_words(one: Heard) -> str:
    """Return one row in words: who, margins with uncertainty, states."""
    before, after = _figure(one.before_db, one.sigma_db), _figure(one.after_db, one.sigma_db)
    return f"{one_line(one.who)}: before {before}, {one.before}; after {after}, {one.after}."


def _spread(row: Heard) -> tuple[float, float]:
    return -row.sigma_db, row.sigma_db


def _figure(margin: float, sigma: float) -> str:
    return f"{decibels(margin)} ± {sigma:.0f} dB"


def _frame(axis: _Axis, height: float) -> Iterator[str]:
    bottom = height - _FOOT
    for mark in axis.marks():
        x = axis.x(mark)
        yield line("guide strong" if mark == 0 else "guide", x, _HEAD - 8, x, bottom)
        yield text(x, _HEAD - 13, decibels(mark), "tick", "middle")
    yield text(0, _HEAD - 13, "margin in dB", "tick")


def _row(row: Heard, axis: _Axis, top: float) -> Iterator[str]:
    yield text(0, top + 12, shortened(one_line(row.who), _LONGEST_NAME), "who")
    for kind, margin, state, y in (
        ("before", row.before_db, row.before, top + 22),
        ("after", row.after_db, row.after, top + 42),
    ):
        yield text(0, y + 10, kind, "when")
        yield _shape(state, 56, y + _BAR / 2)
        yield text(68, y + 10, f"{state}, {_figure(margin, row.sigma_db)}", "state")
        yield from _bar(kind, margin, row.sigma_db, axis, y)


def _bar(kind: str, margin: float, sigma: float, axis: _Axis, y: float) -> Iterator[str]:
    start, stop = sorted((axis.x(0), axis.x(margin)))
    yield path(f"bar {kind}", f"M{fmt(start)} {fmt(y)}H{fmt(stop)}V{fmt(y + _BAR)}H{fmt(start)}z")
    low, high = axis.x(margin - sigma), axis.x(margin + sigma)
    middle = y + _BAR / 2
    whisker = f"M{fmt(low)} {fmt(middle - 3)}v6m0 -3H{fmt(high)}m0 -3v6"
    yield path("whisker", whisker)


def _shape(state: str, x: float, y: float) -> str:
    """Return a disc for heard, a half one for doubtful, a ring for anything else."""
    ring = f"M{fmt(x - 5)} {fmt(y)}c0 -2.76 2.24 -5 5 -5s5 2.24 5 5s-2.24 5 -5 5s-5 -2.24 -5 -5z"
    if state == "heard":
        return path("disc full", ring)
    if state == "doubtful":
        half = f"M{fmt(x)} {fmt(y - 5)}c-2.76 0 -5 2.24 -5 5s2.24 5 5 5z"
        return path("disc", ring) + path("disc full", half)
    return path("disc", ring)
