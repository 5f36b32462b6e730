"""`redstave checks`: the catalogue in the terminal."""

from typing import Any

import click
from rich.console import Console
from rich.table import Table

from redstave.checks.pages import check_pages  # not by app, which loads all the rest as well
from redstave.cli.options import json_option, print_json


@click.command()
@click.argument("slug", required=False, default="")
@json_option
def checks(slug: str, as_json: bool) -> None:
    """List the checks, or show the page of the one called SLUG."""
    pages: list[dict[str, Any]] = check_pages(slug)
    if as_json:
        print_json(pages[0] if slug else pages)
    elif slug:
        _page(Console(), pages[0])
    else:
        _list(Console(), pages)


def _list(console: Console, pages: list[dict[str, Any]]) -> None:
    table = Table(box=None, pad_edge=False)
    for heading in ("check", "family", "claims", "status", "reports"):
        table.add_column(heading)
    for page in pages:
        table.add_row(page["slug"], page["family"], page["claim"], page["status"], page["summary"])
    console.print(table)


def _page(console: Console, page: dict[str, Any]) -> None:
    console.print(f"[bold]{page['slug']}[/]", highlight=False)
    console.print(
        f"family {page['family']} · claims {page['claim']} · {page['status']}", highlight=False
    )
    console.print("\n" + page["text"], highlight=False, markup=False)
    for setting in page["settings"]:
        console.print(
            f"\nsetting {setting['name']} = {setting['default']:g} {setting['unit']}: "
            f"{setting['meaning']} (source: {setting['source']})",
            highlight=False,
            markup=False,
        )
