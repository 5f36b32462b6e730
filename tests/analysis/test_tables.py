"""The tables of the trade: every number cited, every source used, nothing missing in silence."""

from importlib.resources import files
from typing import Any

import pytest

from redstave.analysis.tables import bibliography, cited, row, table
from redstave.base.citation import Quantity
from redstave.base.errors import DataError
from redstave.checks import catalogue

NAMES = sorted(
    path.name.removesuffix(".toml")
    for path in (files("redstave.analysis") / "data").iterdir()
    if path.name.endswith(".toml") and path.name != "sources.toml"
)


def leaves(found: Any) -> list[Quantity]:
    """Return every cited value below a table."""
    if isinstance(found, Quantity):
        return [found]
    return [leaf for item in found.values() for leaf in leaves(item)]


@pytest.mark.parametrize("name", NAMES)
def test_every_table_loads_and_holds_figures(name: str) -> None:
    """A table that breaks the rule of citation does not load; an empty one is none."""
    assert leaves(table(name))


def test_every_source_is_used() -> None:
    """The bibliography holds what tables and checks cite, and no more."""
    used = {leaf.source for name in NAMES for leaf in leaves(table(name))}
    assert used <= bibliography().keys()
    used |= {key for check in catalogue().values() for key in check.sources}
    used |= {one.source for check in catalogue().values() for one in check.settings}
    assert bibliography().keys() <= used


def test_a_missing_value_is_an_error() -> None:
    """No check goes on with a limit that is not there."""
    assert cited("strings", "length", "violin").number > 300
    with pytest.raises(DataError, match=r"strings\.toml: length\.theorbo"):
        cited("strings", "length", "theorbo")
    with pytest.raises(DataError, match="not a group"):
        row("strings", "length", "violin")
