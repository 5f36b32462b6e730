"""`redstave demo`: review the entry that comes with Redstave, and lay out its season."""

import shlex
import sys
from pathlib import Path

import click
from rich.console import Console

from redstave import app
from redstave.app.demo_season import lay_out
from redstave.cli.progress import progress
from redstave.cli.review import print_summary

SEASON = "season"


@click.command()
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    default=Path("demo-out"),
    show_default=True,
    help="Write the letter into this folder.",
)
def demo(out: Path) -> None:
    """Review the demo entry beside the piano piece it was made from, both written for Redstave.

    Beside its letter lie the scores of four such entries, and a season of them for the desk.
    """
    entry, original = app.copy_demo(out)
    with progress() as tell:
        tell("reading")
        analysis = app.with_original(app.open_entry(entry), original)
        app.prepare(analysis, tell)
        done = app.review(analysis, entry.stem, app.choose(), tell=tell)
        tell("engraving")
        letter = app.write_letter(done, analysis, entry, out)
    print_summary(Console(), app.review_json(done, analysis))
    with progress() as tell:
        season = lay_out(out / SEASON, tell)
    click.echo(f"\nThe letter is in {letter}; open it in a browser.")
    click.echo("A season of four entries, two of them begun, waits on the desk:\n")
    click.echo(f"    {shlex.quote(_called())} desk {shlex.quote(str(season))}\n")
    click.echo(f"The scores by themselves are in {out}; docs/tutorial.md goes on from here.")


def _called() -> str:
    """Return what to type to run Redstave again: as it was called, where that was by its name."""
    return sys.argv[0] if Path(sys.argv[0]).name == "redstave" else "redstave"
