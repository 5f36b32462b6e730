"""The commands of `redstave remark` that make remarks: from findings, or the teacher's own."""

from pathlib import Path
from typing import Any

import click

from redstave.app import seasons
from redstave.base.errors import InputError
from redstave.cli.options import json_option, print_json
from redstave.cli.remark_words import print_remark, tell_remark, words_options
from redstave.cli.season_options import (
    KINDS,
    by_option,
    entry_arguments,
    given_text,
    opened,
    out,
)
from redstave.model.remark import RemarkKind, Weight


@click.command()
@entry_arguments
@json_option
def findings(season_dir: Path, code: str, as_json: bool) -> None:
    """List the findings of an entry with their keys and what you decided."""
    with opened(season_dir) as season:
        review, score = seasons.review_of(season, code), seasons.score_of(season, code)
        rows: list[dict[str, Any]] = seasons.findings_json(season, code, review, score)
    if as_json:
        print_json(rows)
        return
    for row in rows:
        text = row["question"] if row["kind"] == "question" else row["text"]
        out().print(f"{row['key'][:8]}  {row['decision']:<9}  {row['kind']:<10}  {text}")


@click.command(name="list")
@entry_arguments
@click.option("--withdrawn", is_flag=True, help="Show withdrawn remarks as well.")
@json_option
def list_(season_dir: Path, code: str, withdrawn: bool, as_json: bool) -> None:
    """List the remarks on an entry, in their order."""
    with opened(season_dir) as season:
        score = seasons.score_of(season, code)
        kept = seasons.read_remarks(season, code, withdrawn)
    if as_json:
        print_json([seasons.remark_json(one, score) for one in kept])
        return
    for one in kept:
        print_remark(one)


@click.command()
@entry_arguments
@click.argument("key", metavar="KEY")
@click.option("--text", default="", help="Your own words instead of ours; - reads them.")
@click.option("--phrase", default="", metavar="NAME", help="A phrase of your phrase book.")
@words_options
@by_option
@json_option
def accept(season_dir: Path, code: str, key: str, as_json: bool, **words: Any) -> None:
    """Make a remark of the finding KEY."""
    with opened(season_dir) as season:
        review, score = seasons.review_of(season, code), seasons.score_of(season, code)
        made = seasons.accept(season, code, key, review, score, _wish(**words))
        tell_remark(season, code, made, as_json)


@click.command()
@entry_arguments
@click.argument("keys", metavar="KEYS…", nargs=-1, required=True)
@click.option("--into", default="", metavar="REMARK", help="Into this remark; else a new one.")
@click.option("--text", default="", help="Your own words instead of ours; - reads them.")
@click.option("--phrase", default="", metavar="NAME", help="A phrase of your phrase book.")
@words_options
@by_option
@json_option
def merge(
    season_dir: Path, code: str, keys: tuple[str, ...], into: str, as_json: bool, **words: Any
) -> None:
    """Put several findings, KEYS, into one remark with all their places."""
    with opened(season_dir) as season:
        review, score = seasons.review_of(season, code), seasons.score_of(season, code)
        made = seasons.merge(season, code, keys, review, score, into, _wish(**words))
        tell_remark(season, code, made, as_json)


@click.command()
@entry_arguments
@click.argument("keys", metavar="KEYS…", nargs=-1, required=True)
@click.option("--reason", default="", help="Why it is of no use.")
@by_option
def dismiss(season_dir: Path, code: str, keys: tuple[str, ...], reason: str, by: str) -> None:
    """Dismiss the findings KEYS; they stay in the season, with your reason."""
    with opened(season_dir) as season:
        review = seasons.review_of(season, code)
        with season.writing():
            for key in keys:
                seasons.dismiss(season, code, key, review, reason, by)


@click.command()
@entry_arguments
@click.argument("keys", metavar="KEYS…", nargs=-1, required=True)
@by_option
def reopen(season_dir: Path, code: str, keys: tuple[str, ...], by: str) -> None:
    """Take back what was decided on the findings KEYS."""
    with opened(season_dir) as season:
        review = seasons.review_of(season, code)
        with season.writing():
            for key in keys:
                seasons.reopen(season, code, key, review, by)


@click.command()
@entry_arguments
@click.argument("text", metavar="TEXT")
@click.option("--bars", default="", help="In these bars, as printed: 14-16.")
@click.option("--staves", default="", help='On these staves: "Oboe 1, Harp/2".')
@click.option("--notes", default="", help="At the notes of these ids.")
@words_options
@by_option
@json_option
def add(season_dir: Path, code: str, text: str, as_json: bool, **more: Any) -> None:
    """Add a remark of your own, TEXT (- reads it), at a place or on the whole piece."""
    if more["kind"] is None:
        raise InputError(f"say what the remark does with --kind: {', '.join(KINDS)}")
    with opened(season_dir) as season:
        score = seasons.score_of(season, code)
        made = seasons.own_remark(
            season,
            code,
            score,
            given_text(text),
            RemarkKind(more["kind"]),
            more["bars"],
            more["staves"],
            tuple(filter(None, more["notes"].replace(",", " ").split())),
            more["by"],
            criterion=more["criterion"] or "",
            why=more["why"] or "",
            way_out=more["way_out"] or "",
            weight=_weight(more["main"]),
        )
        tell_remark(season, code, made, as_json)


def _wish(
    text: str,
    phrase: str,
    kind: str | None,
    why: str | None,
    way_out: str | None,
    criterion: str | None,
    main: bool | None,
    by: str,
) -> seasons.Wish:
    if text and phrase:
        raise InputError("give your own words or a phrase, not both")
    return seasons.Wish(
        given_text(text),
        why,
        way_out,
        RemarkKind(kind) if kind else None,
        criterion,
        _weight(main),
        phrase,
        by,
    )


def _weight(main: bool | None) -> Weight:
    return Weight.MAIN if main else Weight.SMALL


MAKING = (findings, list_, accept, merge, dismiss, reopen, add)
