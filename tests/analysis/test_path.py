"""The path through the lines: it lasts, it changes where that pays, and changes at rests first."""

import numpy as np
import pytest

from redstave.analysis.path import best_path

NONE = np.zeros((8, 2), dtype=np.bool_)
APART = np.tile([0, 1], (8, 1))


def path(first: list[float], second: list[float], **changed: object) -> list[int]:
    """Follow two lines through eight slices of one quarter."""
    given: dict = {"strand": APART, "enters": NONE, "price": 2.0, "silence": 2.0, **changed}
    return best_path(np.array([first, second], dtype=float).T, np.ones(8), **given).tolist()


def test_a_moment_does_not_change_hands() -> None:
    """A line that is better by 1 for one quarter is not followed at a price of 2."""
    assert path([1] * 8, [0, 0, 0, 2, 0, 0, 0, 0]) == [0] * 8


def test_a_lasting_advantage_does() -> None:
    """A line that stays better is followed from where it becomes so."""
    assert path([1] * 8, [0, 0, 0, 3, 3, 3, 3, 3]) == [0, 0, 0, 1, 1, 1, 1, 1]


def test_the_change_falls_where_the_new_line_enters() -> None:
    """With equal claims from quarter 2 to 5 the change falls on the entry after a rest."""
    enters = NONE.copy()
    enters[4, 1] = True
    first, second = [1, 1, 0, 0, 0, 0, -1, -1], [0, 0, 0, 0, 0, 0, 3, 3]
    assert path(first, second, enters=enters)[3:5] == [0, 1]


def test_within_a_strand_a_change_is_free() -> None:
    """Lines that move together pass the lead back and forth without paying."""
    together = np.zeros((8, 2), dtype=np.int64)
    assert path([1, 0] * 4, [0, 1] * 4, strand=together) == [0, 1] * 4


def test_a_short_rest_is_waited_out_a_long_one_is_not() -> None:
    """One silent quarter is bridged; in five the other line takes over."""
    for rest, expected in ((1, [0] * 8), (5, [0, 0, 1, 1, 1, 1, 1, 0])):
        first = [3.0] * 8
        strand = APART.copy()
        for at in range(2, 2 + rest):
            first[at] = -np.inf
            strand[at, 0] = -1
        assert path(first, [1.0] * 8, strand=strand) == expected


def test_a_gap_is_not_filled_by_what_leads_nobody() -> None:
    """In two silent quarters a line that scores under the least is not followed."""
    strand = APART.copy()
    strand[3:5, 0] = -1
    first = [3.0, 3.0, 3.0, -np.inf, -np.inf, 3.0, 3.0, 3.0]
    assert path(first, [-1.0] * 8, strand=strand, price=1.0) == [0, 0, 0, 1, 1, 0, 0, 0]
    assert path(first, [-1.0] * 8, strand=strand, price=1.0, least=1.0) == [0] * 8


@pytest.mark.parametrize("shape", [(0, 2), (3, 0)])
def test_nothing_to_follow(shape: tuple[int, int]) -> None:
    """Without slices the path is empty, without lines it is -1."""
    nothing = np.zeros(shape)
    found = best_path(nothing, np.ones(shape[0]), nothing.astype(int), nothing > 0, 2.0, 2.0)
    assert found.tolist() == [-1] * shape[0]
