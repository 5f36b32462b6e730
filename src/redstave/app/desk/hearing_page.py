"""What the hearing page shows: the whole piece by time, as pictures, figures and a list."""

from collections.abc import Iterator
from dataclasses import replace
from typing import NamedTuple

from redstave.analysis import Analysis
from redstave.analysis.barwise import by_line_and_bar
from redstave.analysis.leading import Buried, buried_tunes
from redstave.analysis.passages import heard
from redstave.analysis.sections import sounding_share
from redstave.app.desk.opened import Opened
from redstave.app.desk.strands import covering, tune_lines
from redstave.render.compose import whole_piece
from redstave.render.density import density_panel
from redstave.render.level_plan import level_panel
from redstave.render.ribbons import WIDTH, frames, label_width, ribbon_panel
from redstave.render.view import Audibility, HearingRow, WholePiece
from redstave.render.wording import bar_name, listed, number
from redstave.trial.compare import rows_of

Json = dict[str, object]
TUNE = "The tune"
MOST_OVER = 4
NARROWEST = 150.0  # px before the first bar, so that all pictures begin at the same place
#: From what is heard best to what is heard least.
RANK = (Audibility.HEARD, Audibility.DOUBTFUL, Audibility.COVERED, Audibility.UNKNOWN)


class Panel(NamedTuple):
    """Some bars in three pictures of one width.

    `left` and `bar` tell in shares of that width where the first bar begins and how wide a bar is.
    """

    first: int
    last: int
    left: float
    bar: float
    ribbons: str
    levels: str
    density: str


class Hearing(NamedTuple):
    """The whole piece: its panels, its rows (name, a letter of a state for each bar), the list."""

    panels: tuple[Panel, ...]
    rows: tuple[tuple[str, str], ...]
    lines: tuple[float, ...]
    covered: tuple[Json, ...]
    whole: WholePiece


def hearing_page(opened: Opened) -> Hearing:
    """Gather the page of an entry, once for each analysis."""
    return opened.analysis.remember(_gathered)


def _gathered(analysis: Analysis) -> Hearing:
    plain = whole_piece(analysis)
    whole = with_tune(analysis, plain)
    lines = density(analysis)
    playing = len({tone.line for tone in analysis.playing.tones})
    left = max(label_width(whole), NARROWEST)
    panels = list(frames(len(whole.bars), left))
    return Hearing(
        tuple(
            Panel(
                one.first,
                one.first + one.bars - 1,
                one.left / WIDTH,
                one.bar / WIDTH,
                ribbon_panel(whole, one, one is panels[-1]) if plain.hearing else "",
                level_panel(whole, one) if whole.levels else "",
                density_panel(whole, one, lines, playing),
            )
            for one in panels
        ),
        tuple((row.name, "".join(cell[0] for cell in row.cells)) for row in whole.hearing),
        lines,
        tuple(covered_tunes(analysis)),
        plain,
    )


def with_tune(analysis: Analysis, whole: WholePiece) -> WholePiece:
    """Return the piece with a row for the tune above all others, whoever has it.

    Where several lines carry it, it is heard as well as the best of them; a passage that is written
    as a tune and is buried counts as the tune, although something else leads there.
    """
    buried = {bar: one.line for one in buried_tunes(analysis) for bar in _bars(one)}
    states = {
        (one.line, one.bar): Audibility(str(one.state)) for one in by_line_and_bar(analysis.hearing)
    }

    def cell(bar: int) -> Audibility:
        carrying = (buried[bar],) if bar in buried else tune_lines(analysis, bar)
        found = [states[line, bar] for line in carrying if (line, bar) in states]
        return min(found, key=RANK.index, default=Audibility.SILENT)

    row = tuple(map(cell, range(len(whole.bars))))
    if all(one is Audibility.SILENT for one in row):
        return whole
    return replace(whole, hearing=(HearingRow(TUNE, TUNE, row), *whole.hearing))


def _bars(one: Buried) -> range:
    return range(one.first, one.last + 1)


def density(analysis: Analysis) -> tuple[float, ...]:
    """Return the mean number of lines that sound at once in each bar."""
    bars = len(analysis.score.bars)
    if analysis.slices.start.size == 0:
        return (0.0,) * bars
    share = sounding_share(analysis.slices, analysis.playing, bars)
    return tuple(share.sum(axis=1).tolist())


def covered_tunes(analysis: Analysis) -> Iterator[Json]:
    """Yield the places where a tune may not be heard, with what lies over it."""
    for one in buried_tunes(analysis):
        found = heard(analysis.hearing, rows_of(analysis.hearing, one.line, one.first, one.last))
        first, last = (bar_name(bar, analysis.score) for bar in (one.first, one.last))
        yield {
            "first": one.first,
            "last": one.last,
            "bars": f"bar {first}" if one.first == one.last else f"bars {first}–{last}",
            "asked": first if one.first == one.last else f"{first}-{last}",
            "line": analysis.playing.lines[one.line].name,
            "state": str(found.state),
            "margin": f"{number(round(found.margin_db, 1))} ± {number(round(found.sd_db, 1))} dB",
            "over": listed(list(covering(analysis, found.covered_by, [one.line])), MOST_OVER),
        }
