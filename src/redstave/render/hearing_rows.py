"""Which rows the letter's hearing has: a row for every line, equal rows of one stave as one.

Two players who are always heard alike would fill the picture with the same row twice; a divided
section is shown in the row of the whole as long as its parts fare alike.
"""

from collections.abc import Sequence

from redstave.analysis import Analysis
from redstave.analysis.barwise import by_line_and_bar
from redstave.model.line import Line
from redstave.players.calling import together
from redstave.render.level_plan import FAMILIES
from redstave.render.view import Audibility, HearingRow

Cells = tuple[Audibility, ...]


def hearing_rows(analysis: Analysis) -> tuple[HearingRow, ...]:
    """Return a row for every line that plays; bars nobody could judge are marked as such."""
    bars, lines = len(analysis.score.bars), analysis.playing.lines
    cells = [[Audibility.SILENT] * bars for _ in lines]
    for tone in analysis.playing.tones:
        cells[tone.line][tone.bar] = Audibility.UNKNOWN
    for record in by_line_and_bar(analysis.hearing):
        cells[record.line][record.bar] = Audibility(str(record.state))
    found = merged([(line, tuple(row)) for line, row in zip(lines, cells, strict=True)])
    return tuple(
        HearingRow(together([line.name for line in own]), _family(own[0]), row)
        for own, row in found
        if any(cell is not Audibility.SILENT for cell in row)
    )


def _family(line: Line) -> str:
    return FAMILIES.get(line.family, line.family)


def merged(rows: Sequence[tuple[Line, Cells]]) -> list[tuple[list[Line], Cells]]:
    """Join rows of one part and instrument: players heard alike, and parts with their whole."""
    found: list[tuple[list[Line], Cells]] = []
    for line, row in rows:
        for at, (own, before) in enumerate(found):
            if own[0].part != line.part or own[0].instrument != line.instrument:
                continue
            if line.of == own[0].id and line.section and _agree(before, row):
                found[at] = own, _over(before, row)
                break
            if before == row and not line.of and not own[0].of:
                found[at] = [*own, line], before
                break
        else:
            found.append(([line], row))
    return found


def _agree(one: Cells, other: Cells) -> bool:
    """Whether two rows never say different things about one bar; silence says nothing."""
    return all(Audibility.SILENT in (a, b) or a is b for a, b in zip(one, other, strict=True))


def _over(one: Cells, other: Cells) -> Cells:
    return tuple(b if a is Audibility.SILENT else a for a, b in zip(one, other, strict=True))
