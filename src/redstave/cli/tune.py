"""`redstave tune`: in whose hands the tune is, from bar to bar."""

from pathlib import Path
from typing import Any

import click
from rich.console import Console
from rich.table import Table

from redstave import app
from redstave.analysis import Analysis
from redstave.cli.options import (
    entry_argument,
    json_option,
    original_option,
    print_json,
    word_options,
)
from redstave.cli.progress import progress

FROM_PAGE = "the page alone: height, movement, slurs, and what returns elsewhere"
FROM_ORIGINAL = "the piano piece: who carries its tune; elsewhere from the page alone"


@click.command()
@entry_argument
@original_option
@word_options
@json_option
def tune(entry: Path, original: Path | None, as_json: bool, **word: Any) -> None:
    """Say who has the tune of ENTRY, from bar to bar, and how sure that is."""
    with progress(shown=not as_json) as tell:
        tell("reading")
        analysis = app.prepare(app.open_entry(entry), tell, hearing=False)
        if original is not None:
            analysis = app.with_original(analysis, original)
        analysis = app.with_word(analysis, app.Saying(**word))
        data: dict[str, Any] = app.tune(analysis)
    if as_json:
        print_json(data)
        return
    own = "; and from what you say" if any(word.values()) else ""
    console = Console()
    console.print(_table(data["spans"], _names(analysis)))
    console.print(
        "sure: how likely this is the tune and not another line, in per cent.\n"
        f"Read from {FROM_PAGE if original is None else FROM_ORIGINAL}{own}. The ear decides.",
        highlight=False,
    )


def _names(analysis: Analysis) -> dict[str, str]:
    return {part.id: part.name for part in analysis.score.parts}


def _table(spans: list[dict[str, Any]], names: dict[str, str]) -> Table:
    table = Table(box=None, pad_edge=False)
    for heading in ("bar", "beat", "the tune is in", "with", "sure"):
        table.add_column(heading, justify="right" if heading == "sure" else "left")
    for span in spans:
        table.add_row(
            str(span["bar"]),
            f"{span['beat']:g}",
            span["part"],
            ", ".join(names[one] for one in span["strand"] if one != span["part_id"]),
            f"{100 * span['confidence']:.0f} %",
        )
    return table
