"""Arguments that the commands of a season share, and how they open and print."""

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, TypeVar

import click
from rich.console import Console

from redstave.app import seasons
from redstave.base.errors import InputError, StaleError
from redstave.model.remark import RemarkKind

Command = TypeVar("Command", bound=Callable[..., Any])
FOLDER = click.Path(path_type=Path)
KINDS = [kind.value for kind in RemarkKind]


def season_argument(command: Command) -> Command:
    """Add the folder of the season."""
    return click.argument("season_dir", metavar="DIR", type=FOLDER)(command)


def entry_arguments(command: Command) -> Command:
    """Add the folder of the season and the code name of an entry in it."""
    return season_argument(click.argument("code", metavar="CODE")(command))


def by_option(command: Command) -> Command:
    """Add --by: who is at work, for what stays on record."""
    return click.option("--by", default="", help="Who says so, for the record.")(command)


@contextmanager
def opened(folder: Path) -> Iterator[seasons.Season]:
    """Open a season for one command; a text that came too late is shown beside what stands."""
    try:
        with seasons.open_season(folder) as season:
            yield season
    except StaleError as stale:
        raise InputError(f"{stale}; it now reads: {_short(stale.theirs)}") from stale


def given_text(text: str) -> str:
    """Return a text as given, or what is typed or piped in where it is a hyphen."""
    return sys.stdin.read().strip("\n") if text == "-" else text


def out() -> Console:
    """Return the console that lists are printed on; nothing in a text is taken for markup."""
    return Console(highlight=False, markup=False, soft_wrap=True)


def _short(text: str) -> str:
    line = " ".join(text.split())
    return line if len(line) <= 200 else f"{line[:199]}…"
