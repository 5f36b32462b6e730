"""Remarks and grades as tables (CSV by RFC 4180, UTF-8), for spreadsheets and programs.

A spreadsheet takes a cell that begins with a sign such as "=" for a formula; text that does is
written with an apostrophe before it.
"""

import csv
import io
from collections.abc import Iterable, Sequence

from redstave.model.grade import GradeSheet
from redstave.model.letter import Letter
from redstave.model.remark import LinkedTrial, Remark
from redstave.model.score import Score
from redstave.render.remark_places import place_of, spots_on
from redstave.render.typed import cleaned
from redstave.render.wording import bar_name, part_list

#: What makes a spreadsheet reckon, plain or in full width, or look beyond the cell's beginning.
_FORMULA = ("=", "+", "-", "@", "\t", "\n", "＝", "＋", "－", "＠")

REMARKS = (
    "number", "kind", "weight", "first_bar", "last_bar", "parts", "place", "criterion", "text",
    "why", "way_out", "tried", "check",
)  # fmt: skip
GRADES = ("criterion", "name", "weight", "points", "of", "band", "note")

Cell = str | float | int | None


def remarks_csv(letter: Letter, score: Score) -> str:
    """Return every remark of a letter as a row, in the letter's order."""
    return _table(REMARKS, (_remark(number, one, score) for number, one in letter.numbered))


def grades_csv(sheet: GradeSheet | None) -> str:
    """Return every criterion as a row; points are empty where none were given."""
    return _table(GRADES, _grades(sheet) if sheet else ())


def _remark(number: int, remark: Remark, score: Score) -> Sequence[Cell]:
    spots = spots_on(remark, score)
    first = min((spot.bar for spot in spots), default=None)
    last = max((spot.last_bar for spot in spots), default=None)
    return (
        number,
        remark.kind.value,
        remark.weight.value,
        "" if first is None else bar_name(first, score),
        "" if last is None else bar_name(last, score),
        part_list(spots, score),
        place_of(remark, score),
        remark.criterion,
        remark.text,
        remark.why,
        remark.way_out,
        _tried(remark.trial),
        remark.slug,
    )


def _tried(trial: LinkedTrial | None) -> str:
    return "\n".join(trial.words) if trial else ""


def _grades(sheet: GradeSheet) -> Iterable[Sequence[Cell]]:
    given = {grade.criterion: grade for grade in sheet.grades}
    for one in sheet.criteria.criteria:
        grade = given.get(one.key)
        band = one.band(grade.points) if grade else None
        yield (
            one.key,
            one.name,
            one.weight,
            grade.points if grade else None,
            one.points,
            band.name if band else "",
            grade.note if grade else "",
        )


def _table(names: Sequence[str], rows: Iterable[Sequence[Cell]]) -> str:
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(names)
    writer.writerows([_safe(cell) for cell in row] for row in rows)
    return text.getvalue()


def _safe(cell: Cell) -> Cell:
    if not isinstance(cell, str):
        return cell
    words = cleaned(cell)
    return f"'{words}" if words.lstrip(" ").startswith(_FORMULA) else words
