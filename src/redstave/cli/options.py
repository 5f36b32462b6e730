"""Arguments and options that several commands share."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import click

Command = TypeVar("Command", bound=Callable[..., Any])

ENTRY = click.Path(path_type=Path)


def entry_argument(command: Command) -> Command:
    """Add the score file every command about one entry takes."""
    return click.argument("entry", type=ENTRY)(command)


def original_option(command: Command) -> Command:
    """Add --original: the piano piece the entry was made from."""
    return click.option(
        "--original",
        type=click.Path(path_type=Path),
        help="Set the entry beside the piano piece it was made from.",
    )(command)


def cuts_option(command: Command) -> Command:
    """Add --cuts: where the teacher hears sections begin."""
    return click.option(
        "--cuts",
        default="",
        metavar="BARS",
        help='Let sections begin at these bars ("9, 17, 29") and nowhere else.',
    )(command)


def word_options(command: Command) -> Command:
    """Add --pin, --role and --voice: what the teacher knows of bars, lines and voices."""
    pin = click.option(
        "--pin",
        "pins",
        multiple=True,
        metavar="BAR=BAR",
        help='A bar comes from this bar of the original ("41 = 37", "41 = none").',
    )
    role = click.option(
        "--role",
        "roles",
        multiple=True,
        metavar="WHO",
        help='A line has this role in some bars ("Viola, bars 9-12: tune").',
    )
    voice = click.option(
        "--voice",
        "voices",
        multiple=True,
        metavar="BARS",
        help='A voice of the original ("bars 17-20, left hand, highest: tune").',
    )
    return pin(role(voice(command)))


def json_option(command: Command) -> Command:
    """Add --json: print the data instead of the page."""
    return click.option("--json", "as_json", is_flag=True, help="Print the data as JSON.")(command)


def forces_option(command: Command) -> Command:
    """Add --forces: the string strength on stage."""
    return click.option(
        "--forces",
        default="14.12.10.8.6",
        show_default=True,
        help="Players of violins I, violins II, violas, cellos and basses.",
    )(command)


def players_option(command: Command) -> Command:
    """Add --players: how good the players are."""
    return click.option(
        "--players",
        default="conservatoire",
        show_default=True,
        help="Judge the limits of school, conservatoire or professional players.",
    )(command)


def hall_options(command: Command) -> Command:
    """Add --hall, --seat and --tail: where the entry is heard."""
    hall = click.option(
        "--hall", default="default", show_default=True, help="Hear it in this hall."
    )
    seat = click.option(
        "--seat", default="stalls", show_default=True, help="Hear it from this seat in the hall."
    )
    tail = click.option(
        "--tail", is_flag=True, help="Let sounds that have ended ring on and cover what follows."
    )
    return hall(seat(tail(command)))


def print_json(data: object) -> None:
    """Print data as JSON, readable and with its letters unescaped."""
    click.echo(json.dumps(data, ensure_ascii=False, indent=1, allow_nan=False))
