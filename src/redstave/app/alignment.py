"""A recording laid against the score: a small table of bars and seconds."""

import csv
import math
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path

from redstave.base.errors import InputError
from redstave.model.score import Score
from redstave.render.clock import Heard

HEADING = ("bar", "second")


def read_alignment(path: Path, score: Score) -> tuple[Heard, ...]:
    """Return where bars begin in a recording, from a CSV file with the columns bar and second.

    Bars are numbers as printed (the first bar of that number), seconds are a number or "m:ss";
    between them stands a comma or, as some spreadsheets write it, a semicolon.
    InputError names the line that is wrong.
    """
    try:
        text = path.read_text(encoding="utf-8-sig")
    except OSError as error:
        raise InputError(f"{path} cannot be read ({error.strerror}); check the name") from error
    except UnicodeDecodeError as error:
        raise InputError(
            f"{path} is no table in plain text; save it from the spreadsheet as CSV (UTF-8)"
        ) from error
    found = list(_rows(path, text, score))
    if not found:
        raise InputError(f"{path} names no bar; write lines such as 1,0.0 and 17,32.5")
    for before, after in pairwise(found):
        if after.bar <= before.bar or after.second <= before.second:
            number = score.bars[after.bar].number
            raise InputError(
                f"{path}: bar {number} at {after.second:g} s does not come after the line before "
                "it; let bars and seconds rise from line to line"
            )
    return tuple(found)


def _rows(path: Path, text: str, score: Score) -> Iterator[Heard]:
    bars: dict[str, int] = {}
    for bar in score.bars:
        bars.setdefault(bar.number or str(bar.index + 1), bar.index)
    lines = text.splitlines()
    apart = ";" if any(";" in line for line in lines) else ","  # as spreadsheets write it
    rows = csv.reader(lines, delimiter=apart)
    for row in rows:
        cells = tuple(cell.strip() for cell in row)
        if not any(cells) or (rows.line_num == 1 and cells[:2] == HEADING):
            continue
        where = f"{path}, line {rows.line_num}"
        if len(cells) < len(HEADING):
            raise InputError(f"{where}: expected a bar and a second, such as 17,32.5")
        if cells[0] not in bars:
            raise InputError(f"{where}: the score has no bar {cells[0]}")
        yield Heard(bars[cells[0]], _seconds(cells[1], where))


def _seconds(text: str, where: str) -> float:
    minutes, _, seconds = text.rpartition(":")
    try:
        found = 60.0 * int(minutes or 0) + float(seconds.replace(",", "."))
    except ValueError:
        found = math.nan
    if not (math.isfinite(found) and found >= 0):
        raise InputError(f'{where}: "{text}" is no time; write seconds such as 92.5, or 1:32.5')
    return found
