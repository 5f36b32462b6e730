"""Quick runs of attacks."""

import pytest

from redstave.analysis.rates import quick_runs, rate


def test_a_run_is_cut_where_an_attack_comes_late() -> None:
    """Two runs with a gap between them; slow attacks are in none."""
    starts = [0.0, 0.1, 0.2, 1.0, 2.0, 2.1, 3.0]
    assert [starts[run] for run in quick_runs(starts, 4.0)] == [[0.0, 0.1, 0.2], [2.0, 2.1]]


def test_a_steady_run_at_the_limit_is_not_beyond_it() -> None:
    """Eight attacks a second are not faster than eight."""
    starts = [count / 8 for count in range(9)]
    assert list(quick_runs(starts, 8.0)) == []
    assert list(quick_runs(starts, 7.9)) == [slice(0, 9)]


def test_nothing_and_one_attack_make_no_run() -> None:
    """A run needs two."""
    assert list(quick_runs([], 4.0)) == []
    assert list(quick_runs([1.0], 4.0)) == []


def test_rate_of_a_run() -> None:
    """Nine attacks in a second are eight steps."""
    assert rate([count / 8 for count in range(9)]) == pytest.approx(8.0)
