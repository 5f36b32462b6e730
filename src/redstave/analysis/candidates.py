"""Rows that are written as a tune: what a listener is meant to follow, whether or not it is heard.

The rule of `tune` asks what will strike the ear, so it never names a tune that is buried. A review
has to ask the other question as well. Two signs are taken, each enough by itself: the page calls
the line leading (solo, espressivo …), or it is the only strand that moves, by steps, while all else
holds or repeats. Both numbers below are ours (no source), set on masters' scores.
"""

import numpy as np
from numpy.typing import NDArray

from redstave.analysis.hearing import Hearing

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

LEAST_CHANGES = 4.0  # changes of pitch within two quarters either way
RIVAL_RATIO = 2.0  # it changes at least this many times as often as any other strand
WIDEST_MEAN_LEAP = 4.0  # semitones: more is a broken chord, not a tune


def only_mover(hearing: Hearing, changes: Floats, leap: Floats) -> Flags:
    """Return the rows of the strand that alone moves in its slice; arrays have one entry a row."""
    strands = int(hearing.strand.max(initial=-1)) + 1
    most = np.zeros(strands)
    np.maximum.at(most, hearing.strand, changes)
    of_slice = np.zeros(strands, dtype=np.int64)
    of_slice[hearing.strand] = hearing.slices.row_slice
    first, second = _two_highest(most, of_slice, hearing.slices.start.size)
    mine, at = most[hearing.strand], hearing.slices.row_slice
    leading = (mine >= first[at]) & (mine >= LEAST_CHANGES) & (mine >= RIVAL_RATIO * second[at])
    found: Flags = leading & (leap > 0.0) & (leap <= WIDEST_MEAN_LEAP)
    return found


def _two_highest(value: Floats, group: NDArray[np.int64], groups: int) -> tuple[Floats, Floats]:
    """Return the highest and second highest value in each group (0 where there is none)."""
    first, second = np.zeros(groups), np.zeros(groups)
    order = np.lexsort((-value, group))
    begins = np.searchsorted(group[order], np.arange(groups + 1))
    counts = np.diff(begins)
    first[counts > 0] = value[order][begins[:-1][counts > 0]]
    second[counts > 1] = value[order][begins[:-1][counts > 1] + 1]
    return first, second
