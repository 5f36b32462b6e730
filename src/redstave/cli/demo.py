"""`redstave demo`: review the entry that comes with Redstave."""

from pathlib import Path

import click
from rich.console import Console

from redstave import app
from redstave.cli.progress import progress
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
    with progress() as tell:
        tell("reading")
        analysis = app.prepare(app.open_entry(entry), tell)
        done = app.review(analysis, entry.stem, app.choose(), tell=tell)
        tell("engraving")
        letter = app.write_letter(done, analysis, entry, out)
    print_summary(Console(), app.review_json(done, analysis))
    click.echo(f"\nThe letter is in {letter}; open it in a browser.")
