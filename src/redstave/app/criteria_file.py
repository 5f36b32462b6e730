"""Criteria from files: the starter sets that come with Redstave, and a teacher's own."""

import tomllib
from collections.abc import Mapping
from importlib.resources import files
from pathlib import Path
from typing import Any

from redstave.base.errors import InputError
from redstave.model.grade import Band, Criteria, Criterion

STARTERS = ("full", "four", "steps")
_CRITERION = {"key", "name", "descriptor", "weight", "points", "families", "bands"}
_NEEDED = _CRITERION - {"families", "bands"}


def criteria_named(name: str) -> Criteria:
    """Return a starter set by its name, or the criteria in a file; InputError says what is wrong.

    The file is TOML: `name`, and a table `[[criterion]]` for each with `key`, `name`, `descriptor`,
    `weight`, `points`, and where wanted `families` and `bands` (`name`, `at_least`, `descriptor`).
    """
    if name in STARTERS:
        folder = files("redstave.app").joinpath("starter", "criteria")
        return criteria_of(folder.joinpath(f"{name}.toml").read_text("utf-8"), name)
    try:
        text = Path(name).read_text("utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise InputError(
            f'"{name}" is neither a set of criteria that comes with Redstave '
            f"({', '.join(STARTERS)}) nor a file that can be read"
        ) from error
    return criteria_of(text, name)


def criteria_of(text: str, where: str) -> Criteria:
    """Return the criteria written in a text; InputError names `where` and what is wrong there."""
    try:
        content = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise InputError(f"{where} is not a file of criteria ({error})") from error
    tables = content.get("criterion")
    if content.keys() - {"name", "criterion"} or not isinstance(tables, list) or not tables:
        raise InputError(f"{where} should hold a name and tables [[criterion]], and nothing else")
    made = tuple(_criterion(table, f"{where}, criterion {n}") for n, table in enumerate(tables, 1))
    keys = [one.key for one in made]
    twice = [key for key in keys if keys.count(key) > 1]
    if twice:
        raise InputError(f'{where}: two criteria have the key "{twice[0]}"; give each its own')
    return Criteria(str(content.get("name", Path(where).stem)), made)


def criteria_json(criteria: Criteria) -> dict[str, Any]:
    """Return criteria as plain data; see docs/season-json.md."""
    return {
        "name": criteria.name,
        "criteria": [
            {
                "key": one.key,
                "name": one.name,
                "descriptor": one.descriptor,
                "weight": one.weight,
                "points": one.points,
                "families": list(one.families),
                "bands": [band._asdict() for band in one.bands],
            }
            for one in criteria.criteria
        ],
    }


def _criterion(table: Any, where: str) -> Criterion:
    if not isinstance(table, Mapping) or table.keys() - _CRITERION or _NEEDED - table.keys():
        raise InputError(
            f"{where}: expected {', '.join(sorted(_NEEDED))}, and perhaps bands and families"
        )
    bands = table.get("bands", [])
    if not isinstance(bands, list):
        raise InputError(f"{where}: bands must be a list of tables")
    return Criterion(
        key=_text(table, "key", where),
        name=_text(table, "name", where),
        descriptor=_text(table, "descriptor", where),
        weight=_positive(table, "weight", where),
        points=_positive(table, "points", where),
        bands=tuple(_band(band, f"{where}, band {n}") for n, band in enumerate(bands, 1)),
        families=tuple(map(str, table.get("families", ()))),
    )


def _band(table: Any, where: str) -> Band:
    if not isinstance(table, Mapping) or table.keys() != {"name", "at_least", "descriptor"}:
        raise InputError(f"{where}: expected name, at_least and descriptor")
    least = table["at_least"]
    if isinstance(least, bool) or not isinstance(least, (int, float)):
        raise InputError(f"{where}: at_least must be a number, not {least!r}")
    return Band(_text(table, "name", where), float(least), _text(table, "descriptor", where))


def _text(table: Mapping[str, Any], key: str, where: str) -> str:
    value = table[key]
    if not isinstance(value, str) or not value.strip():
        raise InputError(f"{where}: {key} must be a text, not {value!r}")
    return value


def _positive(table: Mapping[str, Any], key: str, where: str) -> float:
    value = table[key]
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not value > 0:
        raise InputError(f"{where}: {key} must be a number above 0, not {value!r}")
    return float(value)
