"""Means and medians of many groups of rows at once, weighted by time."""

import numpy as np
from numpy.typing import NDArray
from scipy import sparse

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

TIE = 1e-9  # share of the weight by which sums of equal times may differ through rounding


def weighted_median(values: Floats | NDArray[np.float32], weights: Floats) -> float:
    """Return the value on both sides of which half of the weight lies.

    Where that holds between two values, their mean.
    """
    everywhere = np.zeros(values.size, dtype=np.int64)
    return float(weighted_medians(values, weights, everywhere, 1)[0])


def weighted_medians(
    values: Floats | NDArray[np.float32], weights: Floats, group: Ints, groups: int
) -> Floats:
    """Return the `weighted_median` of each group [groups].

    `values`, `weights` and `group` have one entry a row, in any order; every group has a row.
    """
    order = np.lexsort((values, group))
    values, weights = values[order], weights[order]
    below = np.cumsum(weights)
    edges = np.searchsorted(group[order], np.arange(groups + 1))
    first, last = edges[:-1], edges[1:] - 1
    before = below[first] - weights[first]
    half, slack = 0.5 * (before + below[last]), TIE * (below[last] - before)
    lower, upper = (
        np.clip(np.searchsorted(below, half + shift), first, last) for shift in (-slack, slack)
    )
    found: Floats = np.where(lower == upper, values[lower], 0.5 * (values[lower] + values[upper]))
    return found.astype(np.float64)


def weighted_means(values: Floats, weights: Floats, group: Ints, groups: int) -> Floats:
    """Return the weighted mean of each group; `values` is [rows] or [rows, columns]."""
    rows = np.arange(group.size)
    members = sparse.csr_array((weights, (group, rows)), shape=(groups, group.size))
    whole = np.bincount(group, weights, minlength=groups)
    summed = np.asarray(members @ values)
    return summed / (whole if values.ndim == 1 else whole[:, None])


def flagged_or_all(flags: NDArray[np.bool_], group: Ints, groups: int) -> Ints:
    """Return the flagged rows, and of groups without a flag all rows, in order."""
    some = np.bincount(group[flags], minlength=groups) > 0
    return np.flatnonzero(flags | ~some[group])
