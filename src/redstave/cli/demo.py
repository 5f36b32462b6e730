"""`redstave demo`: review the entry that comes with Redstave."""

from pathlib import Path

import click
from rich.console import Console

from redstave import app
from redstave.cli.review import print_summary


@click.command()
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    default=Path("demo-out"),
    show_default=True,
    help="Write the letter into this folder.",
)
def demo(out: Path) -> None:
    """Review the demo entry, an orchestration of a piano piece written for Redstave."""
    entry = app.copy_demo(out)
    analysis = app.open_entry(entry)
    done = app.review(analysis, entry.stem, app.choose())
    print_summary(Console(), app.review_json(done, analysis))
    letter = app.write_letter(done, analysis, entry, out)
    click.echo(f"\nThe letter is in {letter}; open it in a browser.")
