"""Limits that depend on the player."""

import pytest

from redstave.analysis.players_level import PlayersLevel, for_level
from redstave.analysis.tables import row
from redstave.base.citation import Quantity
from redstave.base.errors import DataError


def limit(*values: float) -> Quantity:
    """Return a limit made for the test."""
    return Quantity(values, "1/s", 0.0, "common-practice", "from memory")


def test_three_values_are_for_three_kinds_of_players() -> None:
    """School, conservatoire, professional, in this order; one value is for all."""
    three = limit(4.0, 6.0, 7.0)
    assert [for_level(three, level) for level in PlayersLevel] == [4.0, 6.0, 7.0]
    assert {for_level(limit(5.0), level) for level in PlayersLevel} == {5.0}


def test_two_values_are_a_mistake() -> None:
    """A row that fits neither is an error, never a guess."""
    with pytest.raises(DataError, match="one value or three"):
        for_level(limit(4.0, 6.0), PlayersLevel.SCHOOL)


def test_better_players_pluck_no_slower() -> None:
    """The rows of the table rise from school to professional."""
    rows = [leaf.numbers for leaf in row("strings", "pluck-rate").values()]
    assert rows
    assert [one for one in rows if list(one) != sorted(one)] == []
