"""`redstave hear`: what the hall hears, by line and bar."""

from collections import defaultdict
from pathlib import Path
from typing import Any

import click
from rich.console import Console
from rich.table import Table

from redstave import app
from redstave.cli.options import (
    entry_argument,
    forces_option,
    hall_options,
    json_option,
    print_json,
)
from redstave.cli.progress import progress

SIGN = {"heard": "●", "doubtful": "◐", "covered": "○"}


@click.command()
@entry_argument
@click.option("--bars", default="", help="Only these bars, as printed: 5-12.")
@forces_option
@hall_options
@json_option
def hear(
    entry: Path, bars: str, forces: str, hall: str, seat: str, tail: bool, as_json: bool
) -> None:
    """Say what the hall hears of ENTRY: each line in each bar, heard, doubtful or covered."""
    place = app.parse_hall(hall, seat, tail)
    strength = app.parse_forces(forces)
    with progress(shown=not as_json) as tell:
        tell("reading")
        analysis = app.prepare(app.open_entry(entry, strength, place), tell)
        data: dict[str, Any] = app.hear(analysis, bars)
    if as_json:
        print_json(data)
        return
    console = Console()
    console.print(_table(data["lines"]))
    console.print(
        "● heard  ◐ doubtful  ○ covered; the margin in dB is how far above masked threshold a "
        f"line lies.\nEstimates for this place: {data['hall']}. The ear and the rehearsal decide.",
        highlight=False,
    )


def _table(records: list[dict[str, Any]]) -> Table:
    table = Table(box=None, pad_edge=False)
    for heading in ("line", "bars", "", "margin", "mostly covered by"):
        table.add_column(heading)
    for line, runs in _runs(records).items():
        for run in runs:
            margins = [record["margin_db"] for record in run]
            lowest = min(run, key=lambda record: record["margin_db"])
            table.add_row(
                line,
                _span(run),
                f"{SIGN[run[0]['state']]} {run[0]['state']}",
                f"{min(margins):+.0f} … {max(margins):+.0f} ± {lowest['sd_db']:.0f} dB",
                ", ".join(cover["line"] for cover in lowest["covered_by"][:2])
                if run[0]["state"] != "heard"
                else "",
            )
    return table


def _runs(records: list[dict[str, Any]]) -> dict[str, list[list[dict[str, Any]]]]:
    """Return the records of each line, neighbours of the same state joined."""
    runs: dict[str, list[list[dict[str, Any]]]] = defaultdict(list)
    for record in records:
        before = runs[record["line"]]
        if before and before[-1][-1]["state"] == record["state"]:
            before[-1].append(record)
        else:
            before.append([record])
    return runs


def _span(run: list[dict[str, Any]]) -> str:
    first, last = run[0]["bar"], run[-1]["bar"]
    return f"{first}" if first == last else f"{first}–{last}"
