"""`redstave season`: all entries on one set piece, read blind, in one folder."""

from pathlib import Path
from typing import Any

import click
from rich.table import Table

from redstave.app import seasons
from redstave.base.errors import InputError
from redstave.cli.options import (
    forces_option,
    hall_options,
    json_option,
    players_option,
    print_json,
)
from redstave.cli.progress import progress
from redstave.cli.season_lessons import lessons
from redstave.cli.season_options import entry_arguments, opened, out, season_argument
from redstave.cli.season_word import word
from redstave.model.season import SeasonFacts, Stage


@click.group()
def season() -> None:
    """Keep the entries of a season: their reviews, your remarks, your grades."""


season.add_command(word)
season.add_command(lessons)


@season.command()
@season_argument
@click.option("--original", type=click.Path(path_type=Path), help="The set piano piece.")
@click.option(
    "--criteria",
    default="full",
    show_default=True,
    help="The criteria: full, four, steps, or a file of your own.",
)
@click.option("--teacher", default="", help="In whose name letters are written.")
@click.option("--name", default="", help="What the season is called; else as its folder.")
@click.option("--database", default="", help="Keep the tables in this database, not in a file.")
@forces_option
@players_option
@hall_options
@json_option
def new(
    season_dir: Path,
    original: Path | None,
    criteria: str,
    teacher: str,
    name: str,
    database: str,
    as_json: bool,
    **heard: Any,
) -> None:
    """Make a season in the folder DIR."""
    facts = SeasonFacts(name or season_dir.resolve().name, teacher, **heard)
    with seasons.new_season(season_dir, original, criteria, facts, database) as made:
        data = seasons.season_json(made)
    if as_json:
        print_json(data)
        return
    click.echo(f"The season {data['name']} is in {season_dir}; add entries to it with")
    click.echo(f"  redstave season add {season_dir} FILES…")


@season.command()
@season_argument
@click.argument("files", metavar="FILES…", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("--again", default="", metavar="CODE", help="A further version of this entry.")
@json_option
def add(season_dir: Path, files: tuple[Path, ...], again: str, as_json: bool) -> None:
    """Add entries: each of FILES gets a code name, and its own name goes under seal."""
    with opened(season_dir) as kept, progress(shown=not as_json) as tell:
        tell("reading")
        added = seasons.add_files(kept, files, again)
    if as_json:
        print_json(added._asdict())
    else:
        for code in added.codes:
            click.echo(code)
        for note in added.notes:
            click.echo(note)
    for problem in added.problems:
        click.echo(f"redstave: {problem}", err=True)
    raise click.exceptions.Exit(2 if added.problems else 0)


@season.command()
@season_argument
@json_option
def show(season_dir: Path, as_json: bool) -> None:
    """Show the entries and how far each one is."""
    with opened(season_dir) as kept:
        data: dict[str, Any] = seasons.season_json(kept)
    if as_json:
        print_json(data)
        return
    blind = "read blind" if data["blind"] else "opened"
    out().print(f"{data['name']} · {data['criteria']} · {blind}\n")
    table = Table(box=None, pad_edge=False)
    columns = ["entry", "state", "findings", "decided", "remarks", "total"]
    for heading in columns if data["blind"] else [*columns, "file"]:
        table.add_column(heading)
    for one in data["entries"]:
        total = "" if one["total"] is None else f"{one['total']:g}"
        numbers = (str(one[key]) for key in ("findings", "decided", "remarks"))
        row = [one["code"], one["state"], *numbers, total + (" locked" if one["locked"] else "")]
        table.add_row(*row, *([] if data["blind"] else [one["file"]]))
    out().print(table)


@season.command()
@season_argument
@click.argument("codes", metavar="[CODES]…", nargs=-1)
@json_option
def compute(season_dir: Path, codes: tuple[str, ...], as_json: bool) -> None:
    """Review the entries that have no review yet under what holds now.

    It may be stopped at any time: what is done is kept, and the next run goes on from there.
    """
    with opened(season_dir) as kept, progress(shown=not as_json) as tell:
        done = seasons.compute(kept, codes, tell)
    if as_json:
        print_json(done._asdict())
    else:
        click.echo(f"reviewed: {', '.join(done.reviewed) or 'none'}")
        if done.up_to_date:
            click.echo(f"up to date: {', '.join(done.up_to_date)}")
        for note in done.notes:
            click.echo(note)
    for problem in done.problems:
        click.echo(f"redstave: {problem}", err=True)
    raise click.exceptions.Exit(2 if done.problems else 0)


@season.command()
@season_argument
@click.option("--take", default="", metavar="NAME", help="Take these from now on: a set or a file.")
@json_option
def criteria(season_dir: Path, take: str, as_json: bool) -> None:
    """Show the criteria of a season, or change them; the log keeps the old ones."""
    with opened(season_dir) as kept:
        if take:
            seasons.write_criteria(kept, seasons.criteria_named(take))
        data = seasons.criteria_json(seasons.read_criteria(kept))
    if as_json:
        print_json(data)
        return
    out().print(data["name"])
    for one in data["criteria"]:
        out().print(
            f"\n{one['key']} · {one['name']} · weight {one['weight']:g}, of {one['points']:g}"
        )
        out().print(f"    {one['descriptor']}")
        for band in one["bands"]:
            out().print(f"    from {band['at_least']:g}: {band['name']}. {band['descriptor']}")


@season.command()
@entry_arguments
@click.argument("state", type=click.Choice(["reading", "written", "sent"]))
def mark(season_dir: Path, code: str, state: str) -> None:
    """Mark an entry as written or sent, or as still being read."""
    stage = {"reading": Stage.READING, "written": Stage.WRITTEN, "sent": Stage.SENT}[state]
    with opened(season_dir) as kept:
        seasons.set_stage(kept, code, stage)


@season.command()
@entry_arguments
@click.option("--carry", is_flag=True, help="Take remarks and decisions along to the new version.")
@json_option
def compare(season_dir: Path, code: str, carry: bool, as_json: bool) -> None:
    """Set the newest version of an entry beside the one before it."""
    with opened(season_dir) as kept:
        found = seasons.carry_over(kept, code) if carry else seasons.compare(kept, code)
        data = seasons.comparison_json(kept, code, found)
    if as_json:
        print_json(data)
    else:
        _print_comparison(data)


@season.command(name="open")
@season_argument
@click.option("--yes", is_flag=True, help="Do it: from now on the season is not blind.")
@json_option
def open_(season_dir: Path, yes: bool, as_json: bool) -> None:
    """Break the seal: show under which file name each entry came. This cannot be undone."""
    with opened(season_dir) as kept:
        if not yes and seasons.is_blind(kept):
            raise InputError(
                "this shows for good whose entry is whose; when all is judged, say it with --yes "
                f'(to work on the season: "redstave desk {season_dir}")'
            )
        names = seasons.open_names(kept)
    if as_json:
        print_json(names)
        return
    for one in names:
        click.echo(f"{one['code']} {one['number']}: {one['name']}")


@season.command()
@season_argument
@click.argument("copy_dir", metavar="TO", type=click.Path(path_type=Path))
def copy(season_dir: Path, copy_dir: Path) -> None:
    """Copy a season into the new folder TO, whole even while someone works in it."""
    with opened(season_dir) as kept:
        seasons.copy_season(kept, copy_dir)
    click.echo(f"The copy is in {copy_dir}")


@season.command()
@season_argument
@click.option("--move", multiple=True, metavar="CHECK.NAME=VALUE", help="Move a threshold.")
@click.option("--back", multiple=True, metavar="CHECK.NAME", help="Put a threshold back.")
@click.option("--on", "turned_on", multiple=True, metavar="CHECK", help="Turn a check on.")
@click.option("--off", "turned_off", multiple=True, metavar="CHECK", help="Turn a check off.")
@json_option
def checks(
    season_dir: Path,
    move: tuple[str, ...],
    back: tuple[str, ...],
    turned_on: tuple[str, ...],
    turned_off: tuple[str, ...],
    as_json: bool,
) -> None:
    """Show how often each check was of use to you in this season, and change its checks."""
    changes = [*(seasons.moved(text) for text in move), *(seasons.put_back(text) for text in back)]
    with opened(season_dir) as kept:
        with kept.writing():
            for slug, name, value in changes:
                seasons.move(kept, slug, name, value)
            for slug in turned_on:
                seasons.switch(kept, slug, True)
            for slug in turned_off:
                seasons.switch(kept, slug, False)
        rows: list[dict[str, Any]] = seasons.checks_json(kept)
    if as_json:
        print_json(rows)
    else:
        _print_checks(rows)


def _print_comparison(data: dict[str, Any]) -> None:
    out().print(f"{data['code']}: version {data['after']} beside version {data['before']}")
    out().print(f"\nbars that differ ({len(data['bars'])})")
    for bar in data["bars"]:
        parts = ", ".join(bar["parts"])
        if bar["before"] is None:
            out().print(f"    {bar['after']} is new")
        elif bar["after"] is None:
            out().print(f"    {bar['before']} is gone")
        else:
            out().print(f"    {bar['before']} → {bar['after']}: {parts}")
    out().print(f"\nyour remarks ({len(data['remarks'])})")
    for one in data["remarks"]:
        out().print(f"    {one['outcome']:<9} {one['place']}: {one['text']}")
    for heading, key in (("no longer found", "answered"), ("newly found", "new")):
        out().print(f"\n{heading} ({len(data[key])})")
        for one in data[key]:
            out().print(f"    {one['text']}")
    out().print(f"\nfound as before: {data['same']}")
    for text in data["unsaid"]:
        out().print(f"could not be said of the new version: {text}")


def _print_checks(rows: list[dict[str, Any]]) -> None:
    table = Table(box=None, pad_edge=False)
    for heading in ("check", "used", "dismissed", "share", "changed"):
        table.add_column(heading)
    for row in rows:
        used = row["accepted"] + row["reworded"] + row["merged"]
        share = "" if row["share"] is None else f"{100 * row['share']:.0f} %"
        moved = [
            f"{one['name']} = {one['value']:g} {one['unit']}".strip()
            for one in row["settings"]
            if one["value"] != one["default"]
        ]
        changed = ", ".join([*([] if row["on"] else ["off"]), *moved])
        table.add_row(row["slug"], str(used), str(row["dismissed"]), share, changed)
    out().print(table)
    for row in rows:
        if row["suggestion"]:
            out().print(f"\n{row['slug']}: {row['suggestion']}.")
