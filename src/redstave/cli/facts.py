"""`redstave facts`: what a score file holds."""

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import click
from rich.console import Console
from rich.table import Table

from redstave import app
from redstave.cli.options import entry_argument, json_option, print_json
from redstave.cli.progress import progress
from redstave.players.calling import spoken
from redstave.render.open_questions import OpenTheme


@click.command()
@entry_argument
@click.option("--all", "everything", is_flag=True, help="Every problem, and every element.")
@json_option
def facts(entry: Path, everything: bool, as_json: bool) -> None:
    """Say what ENTRY holds: parts, players, marks, and what the file leaves open."""
    with progress(shown=not as_json) as tell:
        tell("reading")
        analysis = app.prepare(app.open_entry(entry), tell, hearing=False)
        data: dict[str, Any] = app.facts(analysis)
    if as_json:
        print_json(data)
        return
    console = Console()
    console.print(f"[bold]{data['title'] or entry.name}[/]: {data['bars']} bars", highlight=False)
    console.print(_duration(data["duration"]), highlight=False)
    console.print(_parts(data["parts"]))
    console.print(_counts(data["counts"]), highlight=False)
    _problems(console, data["problem_kinds"])
    if everything:
        _each(console, data["problems"])
        _account(console, app.file_account(analysis, entry))
    _themes(console, app.themes(analysis))


def _duration(duration: dict[str, Any]) -> str:
    plain, repeated = duration["seconds"], duration["with_repeats_seconds"]
    text = f"Lasts about {_minutes(plain)}"
    if round(plain) != round(repeated):
        runs = ", ".join(f"{first}–{last}" for first, last in duration["order"])
        text += f" without repeats, {_minutes(repeated)} with them (bars {runs})"
    return text + (
        "; tempo assumed where the page gives none." if duration["tempo_assumed"] else "."
    )


def _minutes(seconds: float) -> str:
    minutes, rest = divmod(round(seconds), 60)
    return f"{minutes} min {rest} s" if minutes else f"{rest} s"


def _parts(parts: list[dict[str, Any]]) -> Table:
    table = Table(box=None, pad_edge=False)
    for heading in ("part", "instrument", "players", "staves", "sounds"):
        table.add_column(heading)
    for part in parts:
        table.add_row(
            part["name"],
            in_words(part["instruments"]),
            str(part["players"]),
            str(part["staves"]),
            _sounds(part["transposition_semitones"]),
        )
    return table


def in_words(instruments: list[str]) -> str:
    """Return the instruments of a part as words: "flute, piccolo"."""
    return ", ".join(spoken(one) for one in instruments if one) or "not understood"


def _sounds(semitones: int) -> str:
    if not semitones:
        return "as written"
    plural = "s" if abs(semitones) > 1 else ""
    return f"{abs(semitones)} semitone{plural} {'lower' if semitones < 0 else 'higher'}"


def _counts(counts: dict[str, int]) -> str:
    return ", ".join(f"{count} {name}" for name, count in counts.items() if count)


WEIGHTS = {
    3: "The music may have been read wrongly",
    2: "What the players are told may have been read wrongly",
    1: "Untidy, but nothing is misread",
}


def _problems(console: Console, kinds: list[dict[str, Any]]) -> None:
    if not kinds:
        console.print("Nothing in the file had to be assumed.")
        return
    console.print("\n[bold]What is wrong with the file, gravest first[/]")
    heading = 0
    for kind in kinds:
        if kind["weight"] != heading:
            heading = kind["weight"]
            console.print(f"  [italic]{WEIGHTS[heading]}[/]")
        places = f" ({kind['places']})" if kind["places"] else ""
        text = f"    {kind['text']} {kind['means']}{places}"
        console.print(text, highlight=False, markup=False)


def _each(console: Console, problems: list[dict[str, Any]]) -> None:
    console.print(f"\n[bold]Every problem ({len(problems)})[/]", highlight=False)
    for problem in problems:
        place = ", ".join(
            word
            for word in (
                f"bar {problem['bar']}" if problem["bar"] else "",
                f"part {problem['part']}" if problem["part"] else "",
                f"line {problem['line']} of the file" if problem["line"] else "",
            )
            if word
        )
        text = f"  {problem['text']}" + (f" ({place})" if place else "")
        console.print(text, highlight=False, markup=False)


def _account(console: Console, rows: Sequence[app.Row]) -> None:
    number = sum(row.number for row in rows)
    lost = sum(row.lost for row in rows)
    console.print(
        f"\n[bold]What became of the file's {number} elements[/]: "
        f"{sum(row.kept for row in rows)} are in the score, "
        f"{sum(row.reported for row in rows)} are reported above, {lost} were not understood.",
        highlight=False,
    )
    table = Table(box=None, pad_edge=False)
    for heading in ("inside", "element", "in the file", "in the score", "reported", "lost"):
        table.add_column(heading, justify="left" if heading[0] in "ie" else "right")
    for row in rows:
        numbers = (row.number, row.kept, row.reported, row.lost)
        table.add_row(row.inside, row.element, *(str(one or "") for one in numbers))
    console.print(table)


def _themes(console: Console, themes: Sequence[OpenTheme]) -> None:
    if not themes:
        return
    console.print("\n[bold]What the page leaves open for the players[/]")
    for theme in themes:
        console.print(f"  [italic]{theme.title}[/]")
        for point in theme.points:
            places = f" ({point.places})" if point.places else ""
            console.print(f"    {point.text}{places}", highlight=False, markup=False)
