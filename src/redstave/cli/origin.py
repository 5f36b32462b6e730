"""`redstave origin`: what became of the piano piece."""

from pathlib import Path
from typing import Any

import click
from rich.console import Console
from rich.table import Table

from redstave import app
from redstave.cli.options import (
    cuts_option,
    entry_argument,
    json_option,
    print_json,
    word_options,
)
from redstave.cli.progress import progress

SECTIONS = ("bars", "opened by", "most heard", "lines", "register", "level", "against the last")


@click.command()
@entry_argument
@click.option(
    "--original",
    type=click.Path(path_type=Path),
    required=True,
    help="The piano piece ENTRY was made from.",
)
@cuts_option
@word_options
@json_option
def origin(entry: Path, original: Path, cuts: str, as_json: bool, **word: Any) -> None:
    """Say what became of the piano piece in ENTRY: bars, voices, what is lost and added."""
    with progress(shown=not as_json) as tell:
        tell("reading")
        analysis = app.prepare(app.open_entry(entry), tell, hearing=False)
        tell("beside the original")
        analysis = app.with_original(app.with_cuts(analysis, cuts), original)
        analysis = app.with_word(analysis, app.Saying(**word))
        data: dict[str, Any] = app.origin(analysis)
        told = app.origin_told(analysis)
    if as_json:
        print_json(data)
        return
    console = Console()
    console.print(f"[bold]{analysis.score.title or entry.stem}[/]", highlight=False)
    for sentence in told.sentences:
        console.print(sentence, highlight=False, markup=False)
    for strip in told.strips:
        console.print(f"\n[bold]{strip.name}[/]", highlight=False)
        console.print(_rows(("bars", "carried by"), strip.path))
    if told.sections:
        console.print("\n[bold]sections[/]", highlight=False)
        rows = [
            (one.bars, one.opened, one.instruments, one.lines, one.register, one.level, one.turn)
            for one in told.sections
        ]
        console.print(_rows(SECTIONS, rows))


def _rows(headings: tuple[str, ...], rows: Any) -> Table:
    table = Table(box=None, pad_edge=False)
    for heading in headings:
        table.add_column(heading)
    for row in rows:
        table.add_row(*row)
    return table
