"""A teacher's settings for a season: thresholds moved, checks turned on or off, letters kept short.

The file is TOML::

    [check.tune-covered]
    least_chance = 0.8        # a threshold, as `redstave checks tune-covered` shows it

    [check.slur-over-equal-notes]
    on = false                # this check is not run

    [letter]
    most_findings = 20        # the gravest come first; the letter says how many it leaves out
"""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from redstave.base.errors import InputError
from redstave.checks import catalogue
from redstave.checks.registry import Check, Limits


@dataclass(frozen=True, slots=True)
class Settings:
    """What a teacher has changed: `changed` thresholds by slug, checks switched, longest letter."""

    changed: Mapping[str, Limits]
    switched: Mapping[str, bool]
    most_findings: int | None = None

    def wants(self, check: Check) -> bool:
        """Tell whether a check is to be run under these settings."""
        return self.switched.get(check.slug, check.on)


NO_SETTINGS = Settings({}, {})


def read_settings(path: Path) -> Settings:
    """Read a settings file; an InputError says in one sentence what in it cannot be used."""
    try:
        table = tomllib.loads(path.read_text("utf-8"))
    except OSError as error:
        raise InputError(f"{path} cannot be read ({error.strerror}); check the name") from error
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise InputError(f"{path} is not a settings file ({error})") from error
    _only(table, {"check", "letter"}, path.name)
    checks = _table(table, "check", path.name)
    letter = _table(table, "letter", path.name)
    _only(letter, {"most_findings"}, f"{path.name}, [letter]")
    tables = {slug: _table(checks, slug, path.name) for slug in checks}
    return Settings(
        changed={slug: limits for slug in tables if (limits := _limits(slug, tables[slug], path))},
        switched={slug: _switch(slug, t["on"], path) for slug, t in tables.items() if "on" in t},
        most_findings=_count(letter.get("most_findings"), path),
    )


def _limits(slug: str, table: Mapping[str, Any], path: Path) -> dict[str, float]:
    known = catalogue()
    if slug not in known:
        raise InputError(f'{path.name}: there is no check "{slug}"; "redstave checks" lists them')
    names = {setting.name for setting in known[slug].settings}
    _only(table, names | {"on"}, f"{path.name}, [check.{slug}]")
    limits = {name: value for name, value in table.items() if name != "on"}
    for name, value in limits.items():
        if isinstance(value, bool) or not isinstance(value, (int, float)):
            raise InputError(f"{path.name}: {name} of {slug} must be a number, not {value!r}")
    return {name: float(value) for name, value in limits.items()}


def _switch(slug: str, value: Any, path: Path) -> bool:
    if not isinstance(value, bool):
        raise InputError(f"{path.name}: on of {slug} must be true or false, not {value!r}")
    return value


def _count(value: Any, path: Path) -> int | None:
    if value is None:
        return None
    if isinstance(value, bool) or not isinstance(value, int) or value < 1:
        raise InputError(f"{path.name}: most_findings must be a whole number from 1, not {value!r}")
    return value


def _table(table: Mapping[str, Any], key: str, where: str) -> Mapping[str, Any]:
    value = table.get(key, {})
    if not isinstance(value, Mapping):
        raise InputError(f"{where}: {key} must be a table, as in [{key}]")
    return value


def _only(table: Mapping[str, Any], known: set[str], where: str) -> None:
    for key in table:
        if key not in known:
            names = ", ".join(sorted(known)) or "nothing"
            raise InputError(f'{where}: "{key}" means nothing here; known are {names}')
