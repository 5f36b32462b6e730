"""The tables: read back by an independent parser, and no cell that a spreadsheet reckons with."""

import csv
import io

import pytest

from redstave.render.critique_tables import GRADES, REMARKS, grades_csv, remarks_csv
from tests.render.letters import (
    FULL_GRADES,
    analysis,
    bare,
    hostile,
    letter,
    many,
    remark,
)
from tests.render.letters import (
    GRADES as SOME_GRADES,
)


def rows(text: str) -> list[dict[str, str]]:
    """Return the rows of a table, read strictly."""
    return list(csv.DictReader(io.StringIO(text, newline=""), strict=True))


def test_every_remark_is_a_row_under_its_number() -> None:
    """Number, kind, weight, bars, parts and words of every remark, in the letter's order."""
    found = rows(remarks_csv(letter(), analysis().score))
    assert [row["number"] for row in found] == [str(n) for n, _ in letter().numbered]
    third = found[2]
    assert (third["kind"], third["weight"]) == ("question", "main")
    assert (third["first_bar"], third["last_bar"], third["parts"]) == ("2", "2", "Flute 1. 2")
    assert third["text"] == "Is this meant?\n\nOr not?"
    assert found[3]["tried"] == "Mark the strings one level softer in bars 1–2."
    assert found[4]["check"]
    assert tuple(found[0]) == REMARKS


def test_lines_end_as_rfc_4180_says() -> None:
    """Records end in CR LF, the heading is the first, cells with commas or quotes are quoted."""
    text = remarks_csv(letter(remark(text='a, "b"')), analysis().score)
    assert text.endswith("\r\n")
    assert text.startswith(",".join(REMARKS) + "\r\n")
    assert '"a, ""b"""' in text


@pytest.mark.parametrize(
    "text", ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", " =1", "\n=1", "＝1", '=HYPERLINK("x")']
)
def test_no_cell_is_a_formula(text: str) -> None:
    """Text that a spreadsheet would reckon with begins with an apostrophe; other text is as is."""
    (row,) = rows(remarks_csv(letter(remark(text=text)), analysis().score))
    assert row["text"] == f"'{text}"
    (plain,) = rows(remarks_csv(letter(remark(text="1 = one")), analysis().score))
    assert plain["text"] == "1 = one"


def test_hostile_and_many_rows_are_read_back() -> None:
    """Whatever is typed, the table keeps its shape."""
    assert len(rows(remarks_csv(many(), analysis().score))) == 200
    found = rows(remarks_csv(hostile(), analysis().score))
    assert len(found) == len(hostile().remarks)
    assert all(None not in row and None not in row.values() for row in found)
    assert rows(remarks_csv(bare(), analysis().score)) == []


def test_grades_are_rows() -> None:
    """Every criterion with its points, band and note; without a grade the points are empty."""
    found = rows(grades_csv(FULL_GRADES))
    assert tuple(found[0]) == GRADES
    assert [row["points"] for row in found] == ["14.5", "6"]
    assert [row["band"] for row in found] == ["Good", "Not yet"]
    assert [row["points"] for row in rows(grades_csv(SOME_GRADES))] == ["14.5", ""]
    assert rows(grades_csv(None)) == []
