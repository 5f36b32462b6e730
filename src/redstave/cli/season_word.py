"""`redstave season word`: what the teacher knows better, kept for one entry."""

from pathlib import Path
from typing import Any

import click

from redstave import app
from redstave.app import seasons, teachers_word
from redstave.cli.options import json_option, print_json, word_options
from redstave.cli.season_options import by_option, entry_arguments, opened, out

HEADINGS = {
    "pins": "bars of the entry = bars of the piano piece",
    "roles": "roles of lines",
    "voices": "voices of the piano piece",
    "cuts": "sections begin, and nowhere else, at",
}


@click.command()
@entry_arguments
@word_options
@click.option(
    "--cuts", default="", metavar="BARS", help="Let sections begin at these bars and nowhere else."
)
@click.option(
    "--forget",
    multiple=True,
    type=click.Choice(teachers_word.KINDS),
    help="Take back all that was said of this kind, before anything new is said.",
)
@click.option("--revision", type=int, help="The revision you have read, for scripts.")
@by_option
@json_option
def word(
    season_dir: Path, code: str, revision: int | None, by: str, as_json: bool, **saying: Any
) -> None:
    """Say what you know better of an entry, or show what you said.

    It holds for the newest version, and for every review that is computed from then on.
    """
    said = app.Saying(**saying)
    with opened(season_dir) as kept:
        pages = teachers_word.pages_of(kept, code)
        if said:
            teachers_word.say(kept, code, said, pages, revision, by)
        if as_json:
            print_json(teachers_word.word_json(kept, code, pages))
            return
        texts = app.said_texts(teachers_word.told(kept, code).word, pages)
        fresh = seasons.is_up_to_date(kept, code)
    if not any(texts.values()):
        out().print("Nothing is said of this version yet.")
    for kind, some in texts.items():
        if some:
            out().print(HEADINGS[kind])
            lines = [", ".join(some)] if kind == "cuts" else some
            out().print("\n".join(f"    {one}" for one in lines))
    if not fresh:
        out().print(f'The review waits: "redstave season compute {season_dir} {code}"')
