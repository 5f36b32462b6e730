"""The open strings of the bowed instruments."""

from collections.abc import Mapping
from functools import cache

from redstave.base.citation import Quantity
from redstave.base.errors import DataError
from redstave.instruments.book import cited_file


@cache
def tuning() -> Mapping[str, tuple[float, ...]]:
    """Return the open strings of each bowed instrument, lowest first, by instrument id.

    Pitches are MIDI numbers as they sound. Raises DataError for a leaf that is no cited value.
    """
    found: dict[str, tuple[float, ...]] = {}
    for name, leaf in cited_file("tuning.toml").items():
        if not isinstance(leaf, Quantity):
            raise DataError(f"tuning.toml: {name} is not a cited value")
        found[name] = leaf.numbers
    return found
