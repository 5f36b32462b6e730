"""Spots that belong together."""

from redstave.checks.grouping import joined
from redstave.model.finding import Spot


def test_bars_that_follow_each_other_are_one_place() -> None:
    """Two bars in a row and the same bar twice are joined; a gap and another stave are not."""
    spots = [
        Spot(0, 0, "P1", 1, 0, ("a",)),
        Spot(5, 0, "P1", 1, 6, ("d",)),
        Spot(0, 0, "P2", 1, 0, ("x",)),
        Spot(1, 8, "P1", 1, 1, ("c",)),
        Spot(1, 0, "P1", 1, 1, ("b",)),
    ]
    assert joined(spots) == (
        Spot(0, 0, "P1", 1, 1, ("a", "b", "c")),
        Spot(0, 0, "P2", 1, 0, ("x",)),
        Spot(5, 0, "P1", 1, 6, ("d",)),
    )


def test_no_spots_are_no_places() -> None:
    """Nothing comes of nothing."""
    assert joined([]) == ()
