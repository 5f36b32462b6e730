"""`redstave phrases`: the teacher's phrase book."""

from pathlib import Path
from typing import Any

import click

from redstave.app import seasons
from redstave.cli.options import json_option, print_json
from redstave.cli.season_options import KINDS, given_text, opened, out, season_argument
from redstave.model.phrase import Phrase
from redstave.model.remark import RemarkKind

FILE = click.Path(path_type=Path)


@click.group()
def phrases() -> None:
    """Keep wordings that you use again, with place-holders that are filled for each place."""


@phrases.command(name="list")
@season_argument
@click.option("--find", default="", metavar="WORDS", help="That hold all of these words.")
@click.option("--check", default="", metavar="SLUG", help="That fit this check.")
@click.option("--criterion", default="", metavar="KEY", help="That speak to this criterion.")
@json_option
def list_(season_dir: Path, find: str, check: str, criterion: str, as_json: bool) -> None:
    """List the phrases of a season's phrase book."""
    with opened(season_dir) as season:
        rows: list[dict[str, Any]] = [
            seasons.phrase_json(one) for one in seasons.find_phrases(season, find, check, criterion)
        ]
    if as_json:
        print_json(rows)
        return
    for row in rows:
        tags = ", ".join([*row["checks"], *row["criteria"]])
        out().print(f"{row['id']} · {row['kind']} · {tags}")
        for number, one in enumerate(row["variants"], 1):
            out().print(f"    {number}. {one['text']}  ({one['used']} used)")


@phrases.command()
@season_argument
@click.argument("name")
@click.argument("wordings", nargs=-1, required=True)
@click.option("--kind", type=click.Choice(KINDS), required=True, help="What the phrase does.")
@click.option("--checks", default="", help="Slugs of the checks it fits, with commas.")
@click.option("--criteria", default="", help="Keys of the criteria it speaks to, with commas.")
def add(
    season_dir: Path, name: str, wordings: tuple[str, ...], kind: str, checks: str, criteria: str
) -> None:
    """Add a phrase NAME in one or more WORDINGS, or replace the one of that name."""
    texts = tuple(map(given_text, wordings))
    made = Phrase(name, RemarkKind(kind), texts, _listed(checks), _listed(criteria))
    with opened(season_dir) as season:
        seasons.add_phrase(season, made)


@phrases.command()
@season_argument
@click.argument("name")
def remove(season_dir: Path, name: str) -> None:
    """Take the phrase NAME out of the book."""
    with opened(season_dir) as season:
        seasons.remove_phrase(season, name)


@phrases.command(name="export")
@season_argument
@click.argument("file", type=FILE)
def export_(season_dir: Path, file: Path) -> None:
    """Write the phrase book into FILE as plain text."""
    with opened(season_dir) as season:
        count = seasons.export_phrases(season, file)
    click.echo(f"{count} phrases are in {file}")


@phrases.command(name="import")
@season_argument
@click.argument("file", type=FILE)
def import_(season_dir: Path, file: Path) -> None:
    """Bring the phrases in FILE into the book; one of the same name is replaced."""
    with opened(season_dir) as season:
        count = seasons.import_phrases(season, file)
    click.echo(f"{count} phrases were brought in")


def _listed(text: str) -> tuple[str, ...]:
    return tuple(filter(None, map(str.strip, text.split(","))))
