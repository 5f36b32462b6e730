"""The commands of `redstave remark` about what is there: remarks, and the texts of the letter."""

from dataclasses import replace
from pathlib import Path
from typing import Any

import click

from redstave.app import seasons
from redstave.cli.options import json_option, print_json
from redstave.cli.progress import progress
from redstave.cli.remark_words import print_remark, tell_remark, words_options
from redstave.cli.season_options import by_option, entry_arguments, given_text, opened, out
from redstave.model.remark import RemarkKind, Weight

FIELDS = ("opening", "next-step", "closing")
revision_option = click.option(
    "--revision", type=int, help="The revision you read; refused if there is a newer one."
)


@click.command()
@entry_arguments
@click.argument("remark_id", metavar="REMARK")
@click.option("--text", help="New words; - reads them.")
@words_options
@revision_option
@by_option
@json_option
def change(
    season_dir: Path,
    code: str,
    remark_id: str,
    text: str | None,
    kind: str | None,
    main: bool | None,
    revision: int | None,
    by: str,
    as_json: bool,
    **words: str | None,
) -> None:
    """Change a remark (also one that was withdrawn); its earlier words are kept."""
    new: dict[str, Any] = {key: value for key, value in words.items() if value is not None}
    if text is not None:
        new["text"] = given_text(text)
    if kind is not None:
        new["kind"] = RemarkKind(kind)
    if main is not None:
        new["weight"] = Weight.MAIN if main else Weight.SMALL
    with opened(season_dir) as season:
        now = seasons.read_remark(season, code, remark_id).remark
        base = now.revision if revision is None else revision
        made = seasons.change_remark(season, code, replace(now, revision=base, **new), by)
        tell_remark(season, code, made, as_json)


@click.command()
@entry_arguments
@click.argument("remark_id", metavar="REMARK")
@revision_option
@by_option
def withdraw(season_dir: Path, code: str, remark_id: str, revision: int | None, by: str) -> None:
    """Take a remark out of the letter; it is kept, and `change` brings it back."""
    with opened(season_dir) as season:
        now = seasons.read_remark(season, code, remark_id).remark
        base = now.revision if revision is None else revision
        seasons.withdraw_remark(season, code, remark_id, base, by)


@click.command()
@entry_arguments
@click.argument("remark_ids", metavar="REMARKS…", nargs=-1, required=True)
def order(season_dir: Path, code: str, remark_ids: tuple[str, ...]) -> None:
    """Put REMARKS in this order, before all others."""
    with opened(season_dir) as season:
        seasons.order_remarks(season, code, remark_ids)


@click.command()
@entry_arguments
@click.argument("remark_id", metavar="REMARK")
@json_option
def history(season_dir: Path, code: str, remark_id: str, as_json: bool) -> None:
    """Show every revision of a remark, the oldest first."""
    with opened(season_dir) as season:
        kept = seasons.remark_history(season, code, remark_id)
        score = seasons.score_of(season, code)
    if as_json:
        print_json([seasons.remark_json(one, score) for one in kept])
        return
    for one in kept:
        out().print(f"revision {one.remark.revision}, {one.at} {one.by}".rstrip())
        print_remark(one)


@click.command()
@entry_arguments
@click.argument("remark_id", metavar="REMARK")
@click.option(
    "--changes", type=click.Path(path_type=Path), help="The file of changes to try; none: no trial."
)
@by_option
@json_option
def trial(
    season_dir: Path, code: str, remark_id: str, changes: Path | None, by: str, as_json: bool
) -> None:
    """Try changes and keep beside the remark what is heard before and after."""
    text = seasons.read_changes(changes) if changes else ""
    with opened(season_dir) as season:
        now = seasons.read_remark(season, code, remark_id).remark
        with progress(shown=not as_json) as tell:
            tell("trying")
            analysis = seasons.analysis_of(season, code)
            made = seasons.link_trial(season, code, analysis, now, text, by)
        tell_remark(season, code, made, as_json)


@click.command()
@entry_arguments
@click.argument("key", metavar="KEY")
@json_option
def phrases(season_dir: Path, code: str, key: str, as_json: bool) -> None:
    """Show phrases of your phrase book that fit the finding KEY, filled in."""
    with opened(season_dir) as season:
        review, score = seasons.review_of(season, code), seasons.score_of(season, code)
        found = seasons.suggest(season, key, review, score)
    if as_json:
        print_json([one._asdict() for one in found])
        return
    for one in found:
        out().print(f"{one.phrase}:{one.variant + 1}  {one.text}")


@click.command()
@entry_arguments
@click.argument("field", type=click.Choice(FIELDS))
@click.argument("words", metavar="[TEXT]", required=False)
@revision_option
@json_option
def text(
    season_dir: Path, code: str, field: str, words: str | None, revision: int | None, as_json: bool
) -> None:
    """Show or write the opening, the next step or the closing of the letter (- reads it)."""
    with opened(season_dir) as season:
        draft = seasons.read_draft(season, code, field)
        if words is not None:
            base = draft.revision if revision is None else revision
            draft = seasons.save_draft(season, code, field, given_text(words), base)
    if as_json:
        print_json(draft._asdict())
    else:
        out().print(draft.text)


@click.command()
@entry_arguments
@json_option
def aside(season_dir: Path, code: str, as_json: bool) -> None:
    """Show texts that came too late and were kept beside what stands."""
    with opened(season_dir) as season:
        kept = seasons.texts_set_aside(season, code)
    if as_json:
        print_json([one._asdict() for one in kept])
        return
    for one in kept:
        out().print(f"{one.at} · {one.field}\n    {one.text}")


CHANGING = (change, withdraw, order, history, trial, phrases, text, aside)
