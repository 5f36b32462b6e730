"""`redstave season lessons`: what the entries of a season share, for all to be taught together."""

from pathlib import Path
from typing import Any

import click
from rich.table import Table

from redstave.app import seasons
from redstave.cli.options import json_option, print_json
from redstave.cli.season_options import opened, out, season_argument
from redstave.render.outcomes import title_of

HEADINGS = {
    "places": "The hard places of the piece",
    "faults": "What most of them missed",
    "earned": "What most of them have earned",
}


@click.command()
@season_argument
@json_option
def lessons(season_dir: Path, as_json: bool) -> None:
    """Show what most entries missed, where in the piece, and what most have earned."""
    with opened(season_dir) as kept:
        data = seasons.lessons_json(kept)
    if as_json:
        print_json(data)
        return
    if not data["computed"]:
        click.echo('No entry is computed yet; "redstave season compute" does it.')
        return
    for name, heading in HEADINGS.items():
        rows = data[name]
        if rows:
            of = data["placed"] if name == "places" else data["computed"]
            out().print(f"\n{heading}\n")
            out().print(_table(rows, of))


def _table(rows: list[dict[str, Any]], of: int) -> Table:
    table = Table(box=None, pad_edge=False, show_header=False)
    for row in rows:
        codes = ", ".join(one["entry"] for one in row["entries"])
        bars = [_named(row["bars"])] if "bars" in row else []
        table.add_row(
            *bars, title_of(row["slug"]), row["claim"], f"{len(row['entries'])} of {of}", codes
        )
    return table


def _named(bars: str) -> str:
    return f"bars {bars}" if "–" in bars else f"bar {bars}"
