"""`redstave try`: other things for players to be told, heard before and after."""

from pathlib import Path
from typing import Any

import click
from rich.console import Console
from rich.table import Table

from redstave import app
from redstave.base.errors import InputError
from redstave.cli.hear import SIGN
from redstave.cli.options import (
    entry_argument,
    forces_option,
    hall_options,
    json_option,
    print_json,
)
from redstave.cli.progress import progress


@click.command(name="try")
@entry_argument
@click.option("--bars", default="", help="In these bars, as printed: 14-16.")
@click.option("--who", default="", help='These lines: "Horns", "Oboe 1, strings".')
@click.option("--level", default="", help="At this level (p), or levels up or down (-2).")
@click.option("--players", type=int, help="With so many players of the line.")
@click.option("--octave", type=int, default=0, help="So many octaves higher or lower (-1).")
@click.option("--as", "as_", default="", help='Played by this instrument: "Bassoon".')
@click.option("--technique", default="", help="In this technique: mute, pizz, ordinary …")
@click.option("--without", is_flag=True, help="Leave these lines out.")
@click.option(
    "--changes", type=click.Path(path_type=Path), help="Make the changes in this file as well."
)
@click.option(
    "--help-heard", default="", metavar="LINE", help='How could LINE be heard? Or "tunes".'
)
@forces_option
@hall_options
@json_option
def try_(
    entry: Path,
    changes: Path | None,
    help_heard: str,
    forces: str,
    hall: str,
    seat: str,
    tail: bool,
    as_json: bool,
    **wish: Any,
) -> None:
    """Try a change on ENTRY and listen before and after, or ask how a line could be heard."""
    place = app.parse_hall(hall, seat, tail)
    requests = _requests(app.Request(**wish), changes, help_heard)
    strength = app.parse_forces(forces)
    with progress(shown=not as_json) as tell:
        tell("reading")
        analysis = app.prepare(app.open_entry(entry, strength, place), tell)
        tell("trying")
        if help_heard:
            data: dict[str, Any] = app.help_heard(analysis, help_heard, wish["bars"])
        else:
            data = app.try_changes(analysis, requests)
    if as_json:
        print_json(data)
    elif help_heard:
        _print_ways(Console(), data)
    else:
        _print_trial(Console(), data)


def _requests(wish: app.Request, changes: Path | None, help_heard: str) -> tuple[app.Request, ...]:
    """Return all that is asked for; a wish about a line to be heard changes nothing itself."""
    asked = wish != app.Request(bars=wish.bars)
    if help_heard and (asked or changes):
        raise InputError("--help-heard looks for changes itself; ask for it without others")
    read = app.read_requests(changes) if changes else ()
    if not asked and not read and not help_heard:
        raise InputError(
            "say what to try: --who with --level, --players, --octave, --as, --technique or "
            "--without, a file of --changes, or --help-heard"
        )
    return (wish, *read) if asked else read


def _print_trial(console: Console, data: dict[str, Any]) -> None:
    console.print(f"{data['changes']['text']}.\n", highlight=False, markup=False)
    table = Table(box=None, pad_edge=False)
    for heading in ("line", "before (dB)", "after (dB)", "loudness (sone)", ""):
        table.add_column(heading, no_wrap=heading != "line")
    for line in data["lines"]:
        table.add_row(
            line["line"],
            _heard(line["before"]),
            _heard(line["after"]),
            f"{_sone(line['before'])} → {_sone(line['after'])}",
            _verdict(line),
        )
    console.print(table)
    _caution(console, data["hall"])


def _heard(found: dict[str, Any] | None) -> str:
    if found is None:
        return "silent"
    margin = f"{found['margin_db']:+.0f}".replace("-", "−")
    return f"{SIGN[found['state']]} {found['state']} {margin} ± {found['sd_db']:.0f}"


def _sone(found: dict[str, Any] | None) -> str:
    return "0" if found is None else f"{found['partial_sone']:.2g}"


def _verdict(line: dict[str, Any]) -> str:
    if not line["lost"] and not line["won"]:
        return ""
    return f"{'less' if line['lost'] else 'better'} heard"


def _print_ways(console: Console, data: dict[str, Any]) -> None:
    if not data["helped"]:
        console.print("No covered tune was found in these bars.")
        return
    for one in data["helped"]:
        bars = dict.fromkeys(str(one[key]) for key in ("first_bar", "last_bar"))
        where = f"bar{'s' if len(bars) > 1 else ''} {'–'.join(bars)}"
        console.print(
            f"[bold]{one['line']}[/], {where}: {_heard(one['before'])} dB", highlight=False
        )
        for way in one["ways"]:
            console.print(f"  • {way['text']}", highlight=False, markup=False)
        if not one["ways"]:
            console.print(f"  {_none(one)}", highlight=False)
    _caution(console, data["hall"])


def _none(one: dict[str, Any]) -> str:
    if one["before"]["state"] == "heard":
        return "It is heard as it stands."
    return (
        "No small change was found: up to three sections softer, the line louder or in another "
        "octave, or fewer players."
    )


def _caution(console: Console, hall: str) -> None:
    console.print(
        "\nThe margin in dB is how far above masked threshold a line lies; loudness is that of its "
        "strand amid all else.\n"
        f"Estimates for this place: {hall}. The ear and the rehearsal decide.",
        highlight=False,
    )
