"""The hearing told by line and bar, as a page shows it."""

from itertools import pairwise
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from redstave.analysis.groups import (
    flagged_or_all,
    weighted_means,
    weighted_medians,
)
from redstave.analysis.hearing import Hearing
from redstave.analysis.slices import Slices
from redstave.analysis.state import State, state

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

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


def by_line_and_bar(hearing: Hearing) -> tuple[LineInBar, ...]:
    """Return a record for each line in each bar in which it sounds, ordered by line, then bar."""
    slices, rows = hearing.slices, hearing.rows
    bars = int(slices.bar.max(initial=0)) + 1
    place = hearing.line * bars + slices.bar[slices.row_slice]
    places, group = np.unique(place, return_inverse=True)
    line, bar = np.divmod(places, bars)
    kept = flagged_or_all(hearing.sound.judged, group, places.size)
    there = (slices.row_seconds[kept], group[kept], places.size)
    shares = weighted_means(rows.covering[kept], *there)
    shares[np.arange(places.size), line] = 0.0
    columns = (
        line,
        bar,
        weighted_medians(rows.margin_db[kept], *there),
        weighted_means(rows.sd_db[kept], *there),
        _sounding_shares(slices, group, bar),
        weighted_medians(rows.loudness[kept], *there),
        weighted_medians(rows.partial[kept], *there),
    )
    records = zip(*(column.tolist() for column in columns), _ranked(shares), strict=True)
    return tuple(_record(*record) for record in records)


class Margin(NamedTuple):
    """How far something stands above all else: median over time and uncertainty, in dB."""

    margin_db: float
    sd_db: float

    @property
    def state(self) -> State:
        """Whether it is heard."""
        return state(self.margin_db, self.sd_db)


def lines_in_bars(
    hearing: Hearing, first: int, last: int
) -> tuple[dict[int, Margin], dict[tuple[int, int], Margin]]:
    """Return what is heard of each line (index) in bars `first` to `last` (indices, both inside).

    Once of the bars together, and once of each bar (line, bar). The same figures as
    `passages.heard` and `by_line_and_bar` give, for some bars alone and without what covers what.
    """
    slices = hearing.slices
    low, high = np.searchsorted(slices.bar, (first, last + 1))
    begin, end = np.searchsorted(slices.row_slice, (low, high))
    rows = np.arange(begin, end)
    bars = last - first + 1
    bar = slices.bar[slices.row_slice[rows]] - first
    alone = _margins(hearing, rows, hearing.line[rows] * bars + bar)
    by_bar = {(at // bars, at % bars + first): one for at, one in alone.items()}
    return _margins(hearing, rows, hearing.line[rows]), by_bar


def _margins(hearing: Hearing, rows: Ints, place: Ints) -> dict[int, Margin]:
    places, group = np.unique(place, return_inverse=True)
    kept = flagged_or_all(hearing.sound.judged[rows], group, places.size)
    there = (hearing.slices.row_seconds[rows[kept]], group[kept], places.size)
    margin = weighted_medians(hearing.rows.margin_db[rows[kept]], *there)
    sd = weighted_means(hearing.rows.sd_db[rows[kept]], *there)
    return {
        at: Margin(*pair)
        for at, *pair in zip(places.tolist(), margin.tolist(), sd.tolist(), strict=True)
    }


def _record(
    line: int,
    bar: int,
    margin: float,
    sd: float,
    share: float,
    loudness: float,
    partial: float,
    others: tuple[tuple[int, float], ...],
) -> LineInBar:
    return LineInBar(line, bar, margin, sd, state(margin, sd), share, loudness, partial, others)


def _sounding_shares(slices: Slices, group: Ints, bar: Ints) -> Floats:
    """Return for each group (a line in a bar) the share of the bar's time in which it sounds."""
    sounding, at = np.divmod(
        np.unique(group * slices.start.size + slices.row_slice), slices.start.size
    )
    seconds = np.bincount(sounding, slices.seconds[at], minlength=bar.size)
    whole = np.bincount(slices.bar, slices.seconds, minlength=int(bar.max(initial=0)) + 1)
    share: Floats = seconds / whole[bar]
    return share


def _ranked(shares: Floats) -> list[tuple[tuple[int, float], ...]]:
    """Return for each group the lines with a share that matters, the largest first."""
    group, line = np.nonzero(shares >= SMALLEST_SHARE)
    share = shares[group, line]
    order = np.lexsort((-share, group))
    pairs = list(zip(line[order].tolist(), share[order].tolist(), strict=True))
    edges = np.searchsorted(group[order], np.arange(len(shares) + 1)).tolist()
    return [tuple(pairs[first:last]) for first, last in pairwise(edges)]
