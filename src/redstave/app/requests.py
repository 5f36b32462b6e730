"""What a user asks to try, from options or from a file, made into changes.

The file is TOML: a table `[[change]]` for each change, with `who` and `bars` and one or more of
`level`, `players`, `octave`, `as`, `technique` and `without`.
"""

import re
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields
from pathlib import Path
from typing import Any

from redstave.analysis import Analysis
from redstave.app.hear import bar_range
from redstave.base.errors import InputError
from redstave.model.change import (
    Alteration,
    Change,
    LeftOut,
    Level,
    Octave,
    Players,
    Step,
    Technique,
)
from redstave.model.line import LEVEL_NUMBERS
from redstave.trial import select_lines, successor

TECHNIQUES = ("pizz", "mute", "tremolo", "harmonic", "stopped", "col-legno")
ORDINARY = "ordinary"
MOST_PLAYERS, MOST_OCTAVES = 100, 4


@dataclass(frozen=True)
class Request:
    """One wish as it was written: `level` is a name or a number of levels ("p", "-2")."""

    who: str = ""
    bars: str = ""
    level: str = ""
    players: int | None = None
    octave: int = 0
    as_: str = ""
    technique: str = ""
    without: bool = False


def changes_of(request: Request, analysis: Analysis) -> tuple[Change, ...]:
    """Return the changes a request asks for; InputError says in one sentence what is wrong."""
    if not request.bars:
        raise InputError("say which bars are meant: such as 14-16")
    first, last = bar_range(analysis, request.bars)
    who = select_lines(analysis.playing, request.who)
    asked = tuple(_alterations(request, analysis))
    if not asked:
        raise InputError(
            f"say what {request.who} should do in bars {request.bars}: a level, other players, "
            "an octave, another instrument, a technique, or nothing at all"
        )
    if request.without and len(asked) > 1:
        raise InputError(f"{request.who} cannot be left out and told something else too")
    return tuple(Change(who, first, last, what) for what in asked)


def _alterations(request: Request, analysis: Analysis) -> Iterator[Alteration]:
    if request.level:
        yield _level(request.level)
    if request.technique:
        yield _technique(request.technique)
    if abs(request.octave) > MOST_OCTAVES:
        raise InputError(f"an octave of {request.octave} is out of reach; write such as -1 or 1")
    if request.without:
        yield LeftOut()
    if request.players is not None:
        if not 1 <= request.players <= MOST_PLAYERS:
            raise InputError(f"{request.players} players cannot play; write 1 to {MOST_PLAYERS}")
        if not request.as_:
            yield Players(float(request.players))
    if request.as_:
        yield successor(
            request.as_, request.octave, analysis.forces, analysis.book, request.players
        )
    elif request.octave:
        yield Octave(request.octave)


def _level(text: str) -> Level | Step:
    if text in LEVEL_NUMBERS:
        return Level(float(LEVEL_NUMBERS[text]))
    if re.fullmatch(r"[+-]?[1-7]", text):
        return Step(float(text))
    raise InputError(
        f'"{text}" is not a level; write one of {", ".join(LEVEL_NUMBERS)}, '
        "or a number of levels such as -2"
    )


def _technique(text: str) -> Technique:
    if text not in (*TECHNIQUES, ORDINARY):
        raise InputError(f'"{text}" is not one of {", ".join(TECHNIQUES)} and {ORDINARY}')
    return Technique("" if text == ORDINARY else text)


def read_requests(path: Path) -> tuple[Request, ...]:
    """Read a file of changes; InputError says in one sentence what is wrong with it."""
    return requests_of(read_changes(path), str(path))


def read_changes(path: Path) -> str:
    """Return the text of a file of changes; InputError where it cannot be read."""
    try:
        return path.read_bytes().decode("utf-8")
    except OSError as error:
        raise InputError(f"{path} cannot be read: {error.strerror}") from error
    except UnicodeDecodeError as error:
        raise InputError(f"{path} is not a file of changes: {error}") from error


def requests_of(text: str, where: str) -> tuple[Request, ...]:
    """Read the text of a file of changes; InputError names `where` and what is wrong with it."""
    try:
        content = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise InputError(f"{where} is not a file of changes: {error}") from error
    tables = content.pop("change", None)
    if content or not isinstance(tables, list) or not tables:
        raise InputError(f"{where} should hold tables [[change]], and nothing else")
    return tuple(_request(table, f"{where}, change {n}") for n, table in enumerate(tables, 1))


def _request(table: object, where: str) -> Request:
    names = {field.name.rstrip("_"): field for field in fields(Request)}
    if not isinstance(table, Mapping) or table.keys() - names.keys():
        raise InputError(f"{where}: the keys there are {', '.join(names)}")
    given: dict[str, Any] = {}
    for name, value in table.items():
        default = names[name].default
        if name in ("level", "bars") and isinstance(value, int):
            value = f"{value:+d}" if name == "level" else str(value)
        kind = int if name in ("players", "octave") else type(default)
        if type(value) is not kind:
            raise InputError(f"{where}: {name} = {value!r} cannot be understood")
        given[names[name].name] = value
    return Request(**given)
