"""The sources that checks and data lean on, in one bibliography."""

from collections.abc import Iterable
from functools import cache
from importlib.resources import files

from redstave.acoustics.tables import bibliography as hearing_sources
from redstave.analysis.tables import bibliography as table_sources
from redstave.base.citation import Bibliography, Source, read_bibliography
from redstave.base.errors import DataError
from redstave.instruments.book import bibliography as instrument_sources


@cache
def bibliography() -> Bibliography:
    """Return every source of checks, tables, hearing and instruments under its key."""
    checks = files("redstave.checks").joinpath("sources.toml").read_text(encoding="utf-8")
    trade = {**table_sources(), **read_bibliography(checks)}
    return {**hearing_sources(), **instrument_sources(), **trade}


def cited(keys: Iterable[str]) -> tuple[Source, ...]:
    """Return the sources of some keys, in their order; raises DataError for an unknown key."""
    book = bibliography()
    wanted = tuple(keys)
    for key in wanted:
        if key not in book:
            raise DataError(f"the source {key} is in no bibliography")
    return tuple(book[key] for key in wanted)
