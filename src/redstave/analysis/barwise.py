"""The hearing told by line and bar, as a page shows it."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from redstave.analysis.hearing import Hearing
from redstave.analysis.state import State, state

SMALLEST_SHARE = 0.05  # lesser maskers are not named


class LineInBar(NamedTuple):
    """What is heard of one line in one bar (indices); medians over time within the bar.

    Tones that die away count by their attacks; a bar in which they only ring on counts as it is.
    `covered_by` lists the lines that make up what covers it, largest share first.
    """

    line: int
    bar: int
    margin_db: float
    sd_db: float
    state: State
    sounding_share: float
    loudness_sone: float
    partial_sone: float
    covered_by: tuple[tuple[int, float], ...]


def by_line_and_bar(hearing: Hearing, lines: int) -> tuple[LineInBar, ...]:
    """Return a record for each line in each bar in which it sounds, ordered by line, then bar."""
    slices = hearing.slices
    bar = slices.bar[slices.row_slice]
    bars = int(slices.bar.max(initial=-1)) + 1
    bar_seconds: NDArray[np.float64] = np.bincount(
        slices.bar, slices.seconds, minlength=bars
    ).astype(np.float64)
    key = hearing.line * max(bars, 1) + bar
    order = np.argsort(key, kind="stable")
    keys, begins = np.unique(key[order], return_index=True)
    groups = np.split(order, begins[1:]) if order.size else []
    return tuple(
        _record(hearing, rows, int(number) // bars, int(number) % bars, bar_seconds, lines)
        for number, rows in zip(keys, groups, strict=True)
    )


def _record(
    hearing: Hearing,
    rows: NDArray[np.int64],
    line: int,
    bar: int,
    bar_seconds: NDArray[np.float64],
    lines: int,
) -> LineInBar:
    sounding = np.unique(hearing.slices.row_slice[rows])
    judged = hearing.sound.judged[rows]
    rows = rows[judged] if judged.any() else rows
    seconds = hearing.slices.row_seconds[rows]
    margin = weighted_median(hearing.rows.margin_db[rows], seconds)
    sd = float(np.average(hearing.rows.sd_db[rows], weights=seconds))
    covering = np.average(hearing.rows.covering[rows], axis=0, weights=seconds)
    ranked = [int(other) for other in np.argsort(-covering)[:lines] if other != line]
    return LineInBar(
        line=line,
        bar=bar,
        margin_db=margin,
        sd_db=sd,
        state=state(margin, sd),
        sounding_share=float(hearing.slices.seconds[sounding].sum() / bar_seconds[bar]),
        loudness_sone=weighted_median(hearing.rows.loudness[rows], seconds),
        partial_sone=weighted_median(hearing.rows.partial[rows], seconds),
        covered_by=tuple(
            (other, float(covering[other])) for other in ranked if covering[other] >= SMALLEST_SHARE
        ),
    )


def weighted_median(
    values: NDArray[np.float32] | NDArray[np.float64], weights: NDArray[np.float64]
) -> float:
    """Return the value below which half of the weight lies."""
    order = np.argsort(values, kind="stable")
    below = np.cumsum(weights[order])
    return float(values[order][np.searchsorted(below, below[-1] / 2.0)])
