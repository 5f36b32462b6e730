"""`redstave write`: the entry as MusicXML or MIDI."""

from pathlib import Path

import click

from redstave import app
from redstave.cli.options import entry_argument


@click.command()
@entry_argument
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    required=True,
    help="The file to write; its ending tells the kind: .musicxml, .mxl or .mid.",
)
def write(entry: Path, out: Path) -> None:
    """Write the page of ENTRY as MusicXML 4.0, or what its players are told as MIDI."""
    app.write_entry(app.open_entry(entry), out)
    click.echo(f"{entry} is written to {out}")
