"""`redstave letter`: the finished letter of an entry, in the forms in which it goes out."""

from pathlib import Path

import click

from redstave.app import letters
from redstave.cli.options import json_option, print_json
from redstave.cli.progress import progress
from redstave.cli.season_options import entry_arguments, opened, out
from redstave.render.pdf import Printer

PRINTERS = [one.value for one in Printer]


@click.command()
@entry_arguments
@click.option(
    "--format",
    "forms",
    default="html,pdf",
    show_default=True,
    help="Any of html, pdf, musicxml, vtt, csv and txt, with commas between them.",
)
@click.option(
    "--out",
    "folder",
    type=click.Path(path_type=Path),
    default=Path("letters"),
    show_default=True,
    help="Write the letter into this folder.",
)
@click.option(
    "--template",
    type=click.Path(path_type=Path),
    help="Take the letter's template or style from this folder.",
)
@click.option(
    "--recording",
    type=click.Path(path_type=Path),
    help="A table of bars and seconds: when they are heard in the recording that is captioned.",
)
@click.option(
    "--printer",
    type=click.Choice(PRINTERS),
    default=Printer.WEASYPRINT.value,
    show_default=True,
    help="What makes the PDF.",
)
@click.option("--date", default="", help="The date to print on the letter, as it is to stand.")
@json_option
def letter(
    season_dir: Path,
    code: str,
    forms: str,
    folder: Path,
    template: Path | None,
    recording: Path | None,
    printer: str,
    date: str,
    as_json: bool,
) -> None:
    """Write the letter of the entry CODE of the season in DIR, in your name."""
    named = letters.parse_forms(forms)
    wishes = letters.Wishes(named, template, recording, Printer(printer), date)
    with opened(season_dir) as season, progress(shown=not as_json) as tell:
        written = letters.write_letters(season, code, folder, wishes, tell)
    if as_json:
        print_json(written.json())
        return
    for _, path in written.files:
        out().print(str(path))
    counts = written.counts
    out().print(
        f"{counts.words} words; {counts.remarks} remark{'' if counts.remarks == 1 else 's'}: "
        f"{counts.strengths} of praise, {counts.main} main, {counts.smaller} smaller"
    )
    for note in written.notes:
        out().print(f"Before you send it: {note}")
