"""Means and medians of groups."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from redstave.analysis.groups import (
    flagged_or_all,
    weighted_means,
    weighted_median,
    weighted_medians,
)

rows = st.lists(
    st.tuples(st.floats(-50.0, 50.0), st.integers(1, 8), st.integers(0, 3)), min_size=4, max_size=30
)


@given(rows)
def test_medians_are_those_of_the_values_written_out(drawn: list[tuple[float, int, int]]) -> None:
    """A weight of n counts as the value n times (numpy's median), group by group."""
    values, weights, group = (np.array(column) for column in zip(*drawn, strict=True))
    numbers, group = np.unique(group, return_inverse=True)
    found = weighted_medians(values, 0.1 * weights, group, numbers.size)
    written = [
        np.median(np.repeat(values[group == one], weights[group == one]))
        for one in range(numbers.size)
    ]
    assert found == pytest.approx(written)
    alone = group == 0
    assert weighted_median(values[alone], weights[alone] / 7.0) == pytest.approx(written[0])


@given(rows)
def test_means_are_those_of_numpy(drawn: list[tuple[float, int, int]]) -> None:
    """Weighted means of one column and of several are numpy's averages."""
    values, weights, group = (np.array(column) for column in zip(*drawn, strict=True))
    numbers, group = np.unique(group, return_inverse=True)
    told = (weights.astype(float), group, numbers.size)
    expected = [
        np.average(values[group == one], weights=weights[group == one])
        for one in range(numbers.size)
    ]
    assert weighted_means(values, *told) == pytest.approx(expected)
    both = weighted_means(np.stack([values, -values], axis=1), *told)
    assert both == pytest.approx(np.stack([expected, np.negative(expected)], axis=1))


def test_groups_without_a_flag_are_kept_whole() -> None:
    """Of the first group the flagged row stays, of the second, which has none, both rows."""
    flags = np.array([True, False, False, False])
    assert flagged_or_all(flags, np.array([0, 1, 0, 1]), 2).tolist() == [0, 1, 3]


def test_silence_is_a_median_too() -> None:
    """Minus infinity, the margin of silence, may be a median, and pulls a tie down to it."""
    both = np.array([-np.inf, 3.0])
    assert weighted_median(both, np.array([2.0, 1.0])) == -np.inf
    assert weighted_median(both, np.array([1.0, 2.0])) == 3.0
    assert weighted_median(both, np.array([1.0, 1.0])) == -np.inf


def test_nothing_has_no_groups() -> None:
    """No rows and no groups give empty results."""
    nothing, none = np.zeros(0), np.zeros(0, dtype=np.int64)
    assert weighted_medians(nothing, nothing, none, 0).size == 0
    assert weighted_means(np.zeros((0, 3)), nothing, none, 0).shape == (0, 3)
