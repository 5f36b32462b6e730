"""The hearing of some bars alone is the hearing of the whole, cut out."""

from pathlib import Path

import pytest

from redstave.analysis import Analysis
from redstave.analysis.barwise import by_line_and_bar, lines_in_bars
from redstave.analysis.passages import heard
from redstave.reading import read
from redstave.trial.compare import rows_of

DEMO = Path(__file__).parents[2] / "src" / "redstave" / "app" / "demo"


@pytest.fixture(scope="module")
def analysis() -> Analysis:
    """The demonstration's entry, heard."""
    return Analysis(read(DEMO / "orchestra.musicxml"))


@pytest.mark.parametrize(("first", "last"), [(0, 0), (13, 15), (24, 28), (0, 39)])
def test_each_bar_as_in_the_whole(analysis: Analysis, first: int, last: int) -> None:
    """Every line in every bar has the margin and state that the whole hearing gives it."""
    _, cells = lines_in_bars(analysis.hearing, first, last)
    whole = {
        (one.line, one.bar): one
        for one in by_line_and_bar(analysis.hearing)
        if first <= one.bar <= last
    }
    assert cells.keys() == whole.keys()
    for place, cell in cells.items():
        assert cell.margin_db == pytest.approx(whole[place].margin_db)
        assert cell.sd_db == pytest.approx(whole[place].sd_db)
        assert cell.state is whole[place].state


@pytest.mark.parametrize(("first", "last"), [(0, 0), (13, 15), (24, 28)])
def test_the_bars_together_as_a_passage(analysis: Analysis, first: int, last: int) -> None:
    """Bars taken together are judged as `passages.heard` judges the same rows."""
    lines, _ = lines_in_bars(analysis.hearing, first, last)
    assert lines
    for line, found in lines.items():
        same = heard(analysis.hearing, rows_of(analysis.hearing, line, first, last))
        assert (found.margin_db, found.sd_db) == pytest.approx((same.margin_db, same.sd_db))
        assert found.state is same.state
