"""The tables of the trade that checks count with: limits of players and instruments, all cited.

Each file of `data/` is TOML whose every number is a leaf with unit, uncertainty, source and flag
(`redstave.base.citation`). A limit that depends on the player is a leaf of three values: school,
conservatoire, professional.
"""

from collections.abc import Mapping
from functools import cache
from importlib.resources import files

from redstave.base.citation import (
    Bibliography,
    Cited,
    Quantity,
    read_bibliography,
    read_cited,
)
from redstave.base.errors import DataError

Table = Mapping[str, Cited]


@cache
def bibliography() -> Bibliography:
    """Return the sources of the tables by key."""
    return read_bibliography(_text("sources.toml"))


@cache
def table(name: str) -> Table:
    """Return one file of tables by its name without ending; DataError for a faulty file."""
    return read_cited(_text(f"{name}.toml"), f"{name}.toml", bibliography())


def cited(name: str, *keys: str) -> Quantity:
    """Return one cited value: `cited("strings", "length", "viola")`; DataError if there is none."""
    found: Cited = table(name)
    for key in keys:
        found = found.get(key, "") if isinstance(found, Mapping) else ""
    if not isinstance(found, Quantity):
        raise DataError(f"{name}.toml: {'.'.join(keys)} is not a cited value")
    return found


def row(name: str, *keys: str) -> Mapping[str, Quantity]:
    """Return one group of cited values by the last key: `row("strings", "length")`."""
    found: Cited = table(name)
    for key in keys:
        found = found.get(key, "") if isinstance(found, Mapping) else ""
    if not isinstance(found, Mapping):
        raise DataError(f"{name}.toml: {'.'.join(keys)} is not a group of cited values")
    values = {key: value for key, value in found.items() if isinstance(value, Quantity)}
    if len(values) != len(found):
        raise DataError(f"{name}.toml: {'.'.join(keys)} holds more than cited values")
    return values


def _text(file: str) -> str:
    return (files("redstave.analysis") / "data" / file).read_text("utf-8")
