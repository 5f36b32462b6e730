"""Which strand carries the tune in each slice, and how sure that is.

An untrained rule: the higher a strand lies, the more it moves and the louder it is written, the
likelier it is the tune. Measured on movements whose main line listeners have named, it agrees with
them about seven times in ten (docs/evidence.md); nothing was fitted, and a passage of accompaniment
above the tune defeats it. A mark such as *solo* or *espressivo* counts more than the rule.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from redstave.analysis.slices import Slices
from redstave.analysis.solos import Lead

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

SMOOTHED_QUARTERS = 2.0  # a tune lasts: a slice is judged with its neighbours
MARKED_BONUS = 1.0  # what "solo" or "espr." adds to a line's score: one octave's worth


@dataclass(frozen=True)
class Tune:
    """For each slice the strand (as numbered in Hearing) taken as the tune; -1 where nothing is.

    `lead` is how far its score lies above the next strand's: 0 is a toss-up, 1 is clear.
    """

    strand: Ints
    lead: Floats


def find_tune(
    slices: Slices,
    strand: Ints,
    midi: Floats,
    level_db: Floats,
    movement: Floats,
    marked: NDArray[np.bool_],
    line: Ints,
    ticks_per_quarter: int,
) -> Tune:
    """Score every line in every slice, smooth over neighbouring slices, and take the best strand.

    Row arrays: `midi` sounding pitch (nan when unpitched), `level_db` sound power in dB,
    `movement` pitch changes of the line within two quarters either way, `marked` whether the page
    calls the line a solo.
    """
    top = np.full(slices.start.size, -np.inf)
    np.fmax.at(top, slices.row_slice, np.nan_to_num(midi, nan=-np.inf))
    below = (top[slices.row_slice] - midi) / 12.0
    score = -below + np.log1p(movement) + level_db / 10.0 + MARKED_BONUS * marked
    score = np.where(np.isnan(score), -np.inf, score)
    smooth = _smooth(slices, score, line, SMOOTHED_QUARTERS * ticks_per_quarter)
    return _best(slices.start.size, slices.row_slice, strand, smooth)


def _smooth(slices: Slices, score: Floats, line: Ints, reach: float) -> Floats:
    """Average each line's score over its slices that begin within `reach` ticks."""
    smooth = score.copy()
    start = slices.start[slices.row_slice].astype(np.float64)
    weight = slices.row_seconds
    order = np.lexsort((start, line))
    for rows in np.split(order, np.flatnonzero(np.diff(line[order])) + 1):
        usable = rows[np.isfinite(score[rows])]
        if usable.size == 0:
            continue
        at = start[usable]
        low, high = np.searchsorted(at, at - reach), np.searchsorted(at, at + reach, side="right")
        summed = np.concatenate([[0.0], np.cumsum(score[usable] * weight[usable])])
        total = np.concatenate([[0.0], np.cumsum(weight[usable])])
        smooth[usable] = (summed[high] - summed[low]) / (total[high] - total[low])
    return smooth


def _best(count: int, row_slice: Ints, strand: Ints, score: Floats) -> Tune:
    """Take the strand with the highest score in each slice, and its lead over the next."""
    best = np.full(count, -1, dtype=np.int64)
    lead = np.zeros(count)
    order = np.lexsort((-score, row_slice))
    begins = np.searchsorted(row_slice[order], np.arange(count + 1))
    for at in range(count):
        rows = order[begins[at] : begins[at + 1]]
        rows = rows[np.isfinite(score[rows])]
        if rows.size == 0:
            continue
        best[at] = strand[rows[0]]
        others = rows[strand[rows] != best[at]]
        lead[at] = score[rows[0]] - score[others[0]] if others.size else np.inf
    return Tune(best, lead)


def marked_rows(slices: Slices, line: Ints, leads: Sequence[Lead]) -> NDArray[np.bool_]:
    """Return for each row whether the page calls its line leading at that moment."""
    marked = np.zeros(line.size, dtype=np.bool_)
    start = slices.start[slices.row_slice]
    for lead in leads:
        marked |= (line == lead.line) & (start >= lead.start) & (start < lead.stop)
    return marked
