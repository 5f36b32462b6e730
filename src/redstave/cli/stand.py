"""`redstave stand`: the page as one player sees it from the chair."""

from pathlib import Path
from typing import Any

import click
from rich.console import Console
from rich.table import Table

from redstave import app
from redstave.analysis import Analysis
from redstave.cli.facts import in_words
from redstave.cli.options import entry_argument, forces_option, json_option, print_json
from redstave.cli.progress import progress


@click.command()
@entry_argument
@click.option("--player", default="", help='Whose page: "Horn 2". Without it, the players.')
@forces_option
@json_option
def stand(entry: Path, player: str, forces: str, as_json: bool) -> None:
    """Show ENTRY from one player's chair: entries, levels, rests, changes, what is left open."""
    strength = app.parse_forces(forces)
    with progress(shown=not as_json) as tell:
        tell("reading")
        analysis = app.prepare(app.open_entry(entry, strength), tell, hearing=False)
    if as_json:
        print_json(app.stand(analysis, player) if player else app.players(analysis))
    elif player:
        _page(Console(), analysis, player)
    else:
        Console().print(_players(app.players(analysis)))


def _players(players: list[dict[str, Any]]) -> Table:
    table = Table(box=None, pad_edge=False)
    for heading in ("player", "instrument", "heads", "plays in bars", "from bar"):
        table.add_column(heading)
    for one in players:
        table.add_row(
            one["player"],
            in_words([one["instrument"]]),
            str(one["heads"]),
            str(one["bars"]),
            "" if one["first_bar"] is None else str(one["first_bar"]),
        )
    return table


def _page(console: Console, analysis: Analysis, player: str) -> None:
    page = app.stand_words(analysis, player)
    console.print(f"[bold]{page.title}[/]", highlight=False)
    for sentence in page.lead:
        console.print(sentence, highlight=False, markup=False)
    for heading, text in page.sections:
        console.print(f"\n[bold]{heading}[/]", highlight=False)
        console.print(text, highlight=False, markup=False)
    if page.open:
        console.print("\n[bold]What the page leaves open for this player[/]")
        for text in page.open:
            console.print(f"  {text}", highlight=False, markup=False)
