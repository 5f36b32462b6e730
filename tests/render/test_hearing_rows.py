"""Rows of the hearing: as many as tell something, never two that say the same of one stave."""

from dataclasses import replace

from redstave.model.line import Line
from redstave.render.hearing_rows import merged
from redstave.render.view import Audibility

HEARD, COVERED, SILENT = Audibility.HEARD, Audibility.COVERED, Audibility.SILENT
HORN = Line("P1.1", "Horn in F 1", "P1", "horn", "brass", (1,), 1, False)
SECOND = replace(HORN, id="P1.2", name="Horn in F 2", numbers=(2,))
VIOLINS = Line("P2", "Violin I", "P2", "violin", "strings", (1,), 14, True)
UPPER = replace(VIOLINS, id="P2.a", name="Violin I (upper half)", of="P2")
LOWER = replace(VIOLINS, id="P2.b", name="Violin I (lower half)", of="P2")


def test_players_heard_alike_are_one_row() -> None:
    """Two horns with equal cells share a row, also beside a third that differs."""
    third = replace(HORN, id="P1.3", name="Horn in F 3", numbers=(3,))
    rows = merged([(HORN, (HEARD,)), (third, (COVERED,)), (SECOND, (HEARD,))])
    assert [[line.id for line in own] for own, _ in rows] == [["P1.1", "P1.2"], ["P1.3"]]


def test_players_heard_differently_keep_their_rows() -> None:
    """One bar in which only one of two horns is covered, or silent, keeps both rows."""
    for other in (COVERED, SILENT):
        assert len(merged([(HORN, (HEARD, HEARD)), (SECOND, (HEARD, other))])) == 2


def test_equal_rows_of_two_staves_stay_two() -> None:
    """Only players of one part, on one instrument, are shown together."""
    other = replace(SECOND, part="P9")
    piccolo = replace(SECOND, instrument="piccolo", of="P1.2")
    assert len(merged([(HORN, (HEARD,)), (other, (HEARD,)), (piccolo, (HEARD,))])) == 3


def test_a_divided_section_fills_the_row_of_the_whole() -> None:
    """Halves that fare alike are shown where the whole rests; one that does not has its own row."""
    rows = merged(
        [(VIOLINS, (HEARD, SILENT)), (UPPER, (SILENT, HEARD)), (LOWER, (SILENT, COVERED))]
    )
    assert [(own[0].id, row) for own, row in rows] == [
        ("P2", (HEARD, HEARD)), ("P2.b", (SILENT, COVERED)),
    ]  # fmt: skip
