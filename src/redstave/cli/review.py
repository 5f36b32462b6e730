"""`redstave review`: the main job, from a score file to a written review."""

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

import click
from rich.console import Console

from redstave import app
from redstave.cli.options import (
    cuts_option,
    entry_argument,
    forces_option,
    hall_options,
    json_option,
    original_option,
    players_option,
    print_json,
    word_options,
)
from redstave.cli.progress import progress
from redstave.model.finding import Claim, NotAssessed
from redstave.render.outcomes import in_a_sentence, title_of, unjudged

HEADINGS = {
    "impossible": "Impossible as written",
    "risk": "Risks",
    "question": "Questions",
}
KINDS = [kind.value for kind in (Claim.IMPOSSIBLE, Claim.RISK, Claim.QUESTION)]


@click.command()
@entry_argument
@click.option("--out", type=click.Path(path_type=Path), help="Write the letter into this folder.")
@click.option(
    "--fail-on", type=click.Choice(KINDS), help="Exit with 1 if there is such a fault or a graver."
)
@click.option("--only", multiple=True, metavar="CHECK", help="Run this check only (repeatable).")
@click.option("--without", multiple=True, metavar="CHECK", help="Leave this check out.")
@click.option(
    "--settings",
    type=click.Path(path_type=Path),
    help="Take thresholds, and checks turned on or off, from this file.",
)
@forces_option
@players_option
@hall_options
@original_option
@cuts_option
@word_options
@json_option
def review(
    entry: Path,
    out: Path | None,
    fail_on: str | None,
    only: tuple[str, ...],
    without: tuple[str, ...],
    settings: Path | None,
    forces: str,
    players: str,
    hall: str,
    seat: str,
    tail: bool,
    original: Path | None,
    cuts: str,
    as_json: bool,
    **word: Any,
) -> None:
    """Review ENTRY: print what was found and, with --out, write the letter."""
    place = app.parse_hall(hall, seat, tail)
    level = app.parse_players(players)
    wanted = app.read_settings(settings) if settings else app.NO_SETTINGS
    checks = app.choose(only, without, wanted)
    strength = app.parse_forces(forces)
    with progress(shown=not as_json) as tell:
        tell("reading")
        analysis = app.with_cuts(app.open_entry(entry, strength, place, level), cuts)
        if original is not None:
            analysis = app.with_original(analysis, original)
        analysis = app.with_word(analysis, app.Saying(**word))
        app.prepare(analysis, tell, hearing=not only)
        done = app.review(analysis, entry.stem, checks, wanted.changed, tell)
    data: dict[str, Any] = app.review_json(done, analysis)
    _show(data, as_json)
    if out is not None:
        with progress(shown=not as_json) as tell:
            tell("engraving")
            letter = app.write_letter(done, analysis, entry, out, wanted.most_findings)
        click.echo(f"The letter is in {letter}", err=as_json)
    raise click.exceptions.Exit(int(app.fails(done, Claim(fail_on) if fail_on else None)))


def _show(data: dict[str, Any], as_json: bool) -> None:
    if as_json:
        print_json(data)
    else:
        print_summary(Console(), data)


def print_summary(console: Console, data: dict[str, Any]) -> None:
    """Print a review to be read in the terminal: what works first, then the faults by kind."""
    console.print(f"[bold]{data['title'] or data['entry']}[/]", highlight=False)
    _section(console, "What works", data["credits"])
    faults = sorted(data["findings"], key=lambda one: int(one["rank"]))
    for kind, heading in HEADINGS.items():
        _section(console, heading, [one for one in faults if one["kind"] == kind], faults)
    if data["untried"]:
        console.print(
            f"\nFor {data['untried']} more covered lines no way out was tried, to save time: "
            "redstave try --help-heard does it for any line.",
            highlight=False,
        )
    if data["not_assessed"]:
        console.print("\n[bold]Not assessed[/]")
        for one in unjudged(NotAssessed(**one) for one in data["not_assessed"]):
            console.print(f"  {one.reason}: {one.which}", highlight=False, markup=False)
    console.print("\nPredictions are estimates: the ear and the rehearsal decide.")


def _section(
    console: Console,
    heading: str,
    findings: list[dict[str, Any]],
    others: Sequence[dict[str, Any]] = (),
) -> None:
    """Print some findings; `others` are all that they may explain or be explained by."""
    if not findings:
        return
    by_key = {one["key"]: one for one in others}
    console.print(f"\n[bold]{heading} ({len(findings)})[/]", highlight=False)
    for finding in findings:
        words = finding["question" if finding["kind"] == Claim.QUESTION else "text"]
        console.print(f"  {words}", highlight=False, markup=False)
        for line in (
            *links(finding, by_key),
            *(f"Tried: {way}" for way in finding.get("tried", [])),
        ):
            console.print(f"    {line}", highlight=False, markup=False)


def links(finding: dict[str, Any], by_key: dict[str, dict[str, Any]]) -> Iterator[str]:
    """Yield what a finding explains, and what explains it, in words."""
    explained = [by_key[key] for key in finding.get("explains", [])]
    if explained:
        yield f"This explains: {'; '.join(_told(one) for one in explained)}"
    causes: dict[str, list[str]] = {}
    for cause in finding.get("explained_by", []):
        causes.setdefault(cause["because"], []).append(_told(by_key[cause["key"]]))
    for because, told in causes.items():
        yield f"Explained by: {'; '.join(dict.fromkeys(told))}, because {because}"


def _told(finding: dict[str, Any]) -> str:
    """Return a finding in few words: "the tune may not come through (bar 5)"."""
    place = finding["places"][0]
    more = len(finding["places"]) - 1
    others = f" and {more} more place{'s' if more > 1 else ''}" if more else ""
    return f"{in_a_sentence(title_of(finding['slug']))} (bar {place['bar']}{others})"
