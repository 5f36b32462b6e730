"""How far each strand stands out of what sounds with it: its lead, its share.

Audible is not prominent. A margin says whether a strand can be heard at all; these measures say
whether it leads. All are taken from loudness in the company of all else (partial loudness, sone):
the *lead* is how many times as loud a strand is as the strongest other one, *over the rest* as all
others added up, both as powers of two (0 equal, 1 twice as loud, -1 half); the *share* is its part
of all that is heard.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from redstave.analysis.groups import weighted_median
from redstave.analysis.hearing import Hearing

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

FARTHEST = 10.0  # log2: a thousand times as loud or as soft is told no further


@dataclass(frozen=True)
class Prominence:
    """One entry a row of the hearing, equal for all rows of a strand; nan where it sounds alone."""

    lead: Floats
    over_rest: Floats
    share: Floats


@dataclass(frozen=True)
class Standing:
    """Medians over the time of a passage in company; nan where it never has any."""

    lead: float
    over_rest: float
    share: float


def prominence(hearing: Hearing) -> Prominence:
    """Return how far the strand of every row stands out of its slice."""
    _, first, of_row = np.unique(hearing.strand, return_index=True, return_inverse=True)
    sone = hearing.rows.partial[first]
    at = hearing.slices.row_slice[first]
    slices = hearing.slices.start.size
    total = np.bincount(at, sone, minlength=slices)
    company = np.bincount(at, minlength=slices)[at] > 1
    others = np.maximum(total[at] - sone, 0.0)
    strongest = _strongest_other(sone, at, slices)
    share = sone / np.maximum(total[at], 1e-12)
    columns = (_log_ratio(sone, strongest), _log_ratio(sone, others), share)
    return Prominence(*(np.where(company, column, np.nan)[of_row] for column in columns))


def standing(hearing: Hearing, found: Prominence, rows: Ints) -> Standing:
    """Return the medians of some rows (indices) over time; tones that die away by their attacks."""
    judged = hearing.sound.judged[rows]
    rows = rows[judged] if judged.any() else rows
    rows = rows[np.isfinite(found.lead[rows])]
    if rows.size == 0:
        return Standing(np.nan, np.nan, np.nan)
    seconds = hearing.slices.row_seconds[rows]
    columns = (found.lead, found.over_rest, found.share)
    return Standing(*(weighted_median(column[rows], seconds) for column in columns))


def _strongest_other(sone: Floats, at: Ints, slices: int) -> Floats:
    """Return the loudness of the strongest other strand in the slice of each strand; 0 for none."""
    order = np.lexsort((-sone, at))
    begins = np.searchsorted(at[order], np.arange(slices + 1))
    first, second = np.zeros(slices), np.zeros(slices)
    count = np.diff(begins)
    first[count > 0] = sone[order][begins[:-1][count > 0]]
    second[count > 1] = sone[order][begins[:-1][count > 1] + 1]
    is_first = np.zeros(sone.size, dtype=np.bool_)
    is_first[order[begins[:-1][count > 0]]] = True
    return np.where(is_first, second[at], first[at])


def _log_ratio(one: Floats, other: Floats) -> Floats:
    small = 1e-6  # sone; far below what can be told from nothing
    ratio = np.log2(np.maximum(one, small)) - np.log2(np.maximum(other, small))
    found: Floats = np.clip(ratio, -FARTHEST, FARTHEST)
    return found
