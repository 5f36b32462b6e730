"""`redstave grade`: points on the published criteria, with the evidence beside them."""

from pathlib import Path
from typing import Any

import click

from redstave.app import seasons
from redstave.cli.options import json_option, print_json
from redstave.cli.season_options import by_option, entry_arguments, opened, out

reason_option = click.option("--reason", default="", help="Why, where the grades are locked.")


@click.group()
def grade() -> None:
    """Grade one entry on the criteria of its season."""


@grade.command()
@entry_arguments
@click.option("--evidence", is_flag=True, help="List the findings that speak to each criterion.")
@json_option
def show(season_dir: Path, code: str, evidence: bool, as_json: bool) -> None:
    """Show the grades of an entry."""
    with opened(season_dir) as season:
        data = _grades(season, code)
    if as_json:
        print_json(data)
    else:
        _print(data, evidence)


@grade.command()
@entry_arguments
@click.argument("criterion")
@click.argument("points", type=float)
@click.option("--note", default="", help="A note for the letter.")
@reason_option
@by_option
@json_option
def give(
    season_dir: Path,
    code: str,
    criterion: str,
    points: float,
    note: str,
    reason: str,
    by: str,
    as_json: bool,
) -> None:
    """Give POINTS on the criterion CRITERION."""
    with opened(season_dir) as season:
        seasons.give(season, code, criterion, points, note, by=by, reason=reason)
        data = _grades(season, code)
    if as_json:
        print_json(data)
    else:
        _print(data, evidence=False)


@grade.command()
@entry_arguments
@click.argument("criterion")
@reason_option
@by_option
def clear(season_dir: Path, code: str, criterion: str, reason: str, by: str) -> None:
    """Take the points on CRITERION back."""
    with opened(season_dir) as season:
        seasons.give(season, code, criterion, None, by=by, reason=reason)


@grade.command()
@entry_arguments
@by_option
def lock(season_dir: Path, code: str, by: str) -> None:
    """Lock the grades of an entry: from now on each change is logged with its reason."""
    with opened(season_dir) as season:
        seasons.lock(season, code, by)


@grade.command()
@entry_arguments
@click.option("--reason", required=True, help="Why.")
@by_option
def unlock(season_dir: Path, code: str, reason: str, by: str) -> None:
    """Unlock the grades of an entry; the log says so."""
    with opened(season_dir) as season:
        seasons.unlock_grades(season, code, by, reason)


@grade.command()
@entry_arguments
@json_option
def log(season_dir: Path, code: str, as_json: bool) -> None:
    """Show what was done to the grades of an entry since they were first locked."""
    with opened(season_dir) as season:
        seasons.read_entry(season, code)  # InputError for one that is not there
        lines = seasons.read_log(season, code)
    if as_json:
        print_json([one._asdict() for one in lines])
        return
    for one in lines:
        out().print(" · ".join(filter(None, (one.at, one.by, one.what, one.detail))))


def _grades(season: seasons.Season, code: str) -> dict[str, Any]:
    kept = seasons.newest_review(season, code)
    score = seasons.score_of(season, code) if kept else None
    return seasons.grades_json(season, code, kept.review if kept else None, score)


def _print(data: dict[str, Any], evidence: bool) -> None:
    for one in data["grades"]:
        points = "–" if one["points"] is None else f"{one['points']:g}"
        said = " · ".join(filter(None, (one["band"], one["note"])))
        out().print(
            f"{one['key']:<14} {points:>5} of {one['of']:g}  {one['name']}  {said}".rstrip()
        )
        for row in one["evidence"] if evidence else ():
            mark = "dismissed: " if row["dismissed"] else ""
            out().print(f"      {row['kind']}: {mark}{row['text']}")
    total = "not complete" if data["total"] is None else f"{data['total']:g} of 100"
    out().print(f"total: {total}{' (locked)' if data['locked'] else ''}")
