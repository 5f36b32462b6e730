"""The ear's tables and constants, read once from the cited data file."""

from dataclasses import dataclass
from functools import cache
from importlib import resources

import numpy as np
from numpy.typing import NDArray

from redstave.base.citation import Bibliography, Cited, Quantity, read_bibliography, read_cited
from redstave.base.errors import DataError

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Ear:
    """Numbers of data/hearing.toml under the names of their keys; tables are read-only arrays."""

    tables: dict[str, Floats]

    def table(self, name: str) -> Floats:
        """Return the values of a leaf, such as "transfer.free", as an array."""
        return self.tables[name]

    def number(self, name: str) -> float:
        """Return the single value of a leaf, such as "loudness.scale"."""
        return float(self.tables[name][0])


@cache
def bibliography() -> Bibliography:
    """Return the sources of the hearing data."""
    return read_bibliography(_text("sources.toml"))


@cache
def ear() -> Ear:
    """Return the ear's tables; raise DataError if a number is not cited."""
    sections = read_cited(_text("hearing.toml"), "hearing.toml", bibliography())
    return Ear(dict(_leaf(f"{name}.{key}", item) for name, key, item in _leaves(sections)))


def _text(name: str) -> str:
    return (resources.files("redstave.acoustics") / "data" / name).read_text(encoding="utf-8")


def _leaves(sections: dict[str, Cited]) -> list[tuple[str, str, Cited]]:
    return [
        (name, key, item)
        for name, section in sections.items()
        if isinstance(section, dict)
        for key, item in section.items()
    ]


def _leaf(name: str, item: Cited) -> tuple[str, Floats]:
    if not isinstance(item, Quantity):
        raise DataError(f"hearing.toml: {name} is not a cited number")
    values = np.array(item.numbers)
    values.flags.writeable = False
    return name, values
