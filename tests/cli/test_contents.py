"""The contents of the command, and that nothing is loaded before it is wanted."""

import subprocess
import sys

import click
import pytest

from redstave.cli.commands import commands
from redstave.cli.contents import CONTENTS

#: What takes long to load, and which commands can do without it.
HEAVY = ("numpy", "sqlalchemy", "verovio", "weasyprint", "fastapi", "lxml", "jinja2")


def loaded_by(*words: str) -> set[str]:
    """Return which of the heavy libraries a command loads."""
    code = (
        "import sys; from redstave.cli.commands import commands\n"
        f"commands({list(words)!r}, standalone_mode=False)\n"
        f"print('loaded:', *[name for name in {HEAVY!r} if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    return set(done.stdout.splitlines()[-1].split()[1:])


@pytest.mark.parametrize("words", [["--help"], ["--version"]])
def test_help_loads_nothing(words: list[str]) -> None:
    """Help and version load none of the large libraries."""
    assert loaded_by(*words) == set()


def test_checks_loads_no_engraver_and_no_database() -> None:
    """The catalogue of checks needs numbers only."""
    assert loaded_by("checks") == {"numpy"}


@pytest.mark.parametrize("name", ["facts", "review", "hear", "try"])
def test_one_score_needs_no_database(name: str) -> None:
    """A single score is read without the database of a season, the desk or the printer."""
    assert not loaded_by(name, "--help") & {"sqlalchemy", "weasyprint", "fastapi"}


def test_every_command_of_the_contents_is_there() -> None:
    """Each name in the contents is a command, and is called so."""
    context = click.Context(commands)
    for name in (name for some in CONTENTS.values() for name in some):
        command = commands.get_command(context, name)
        assert command is not None
        assert command.name == name


def test_the_contents_fit_the_page() -> None:
    """No line of the help is broken or cut short."""
    lines = commands.get_help(click.Context(commands)).splitlines()
    assert all(
        any(text in line for line in lines) for some in CONTENTS.values() for text in some.values()
    )
