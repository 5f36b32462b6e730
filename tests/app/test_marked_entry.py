"""A marked score that is sent in again: our words on it are nobody's notes."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from redstave import app
from redstave.app import seasons
from redstave.app.marked_entry import TAKEN_OFF
from redstave.model.finding import Spot
from redstave.model.same_page import same_page
from redstave.model.season import SeasonFacts
from redstave.reading import read_bytes
from redstave.store import Season
from redstave.writing import to_musicxml
from redstave.writing.remarks import MARK, Pencilled, with_remarks
from tests.app.season_entry import FIRST, signed

WORDS = "Is this note meant?"


@pytest.fixture
def season(tmp_path: Path) -> Iterator[Season]:
    """A season without entries."""
    with seasons.new_season(tmp_path / "s", None, "steps", SeasonFacts("Spring")) as made:
        yield made


def marked(ids: bool = True) -> bytes:
    """A score with a remark on it; without ids as a program leaves it that does not keep them."""
    score = read_bytes(signed(FIRST), "first.musicxml")
    part = score.parts[0]
    spots = (Spot(0, 0, part.id, 1, 0), Spot(1, 0, part.id, 1, 1))
    data = to_musicxml(with_remarks(score, [Pencilled(1, WORDS, spots)]))
    return data if ids else data.replace(f'id="{MARK}'.encode(), b'id="w')


@pytest.mark.parametrize("ids", [True, False])
def test_a_season_shows_none_of_them(season: Season, tmp_path: Path, ids: bool) -> None:
    """They are told at the intake, not in the page to engrave, and no marks of the score."""
    sent = tmp_path / "sent.musicxml"
    sent.write_bytes(marked(ids))
    added = seasons.add_files(season, [sent])
    (code,) = added.codes
    assert added.notes == (
        f"{code}: 2 remarks from an earlier letter stood on the page and will not be shown",
    )
    assert WORDS.encode() not in seasons.xml_of_entry(season, code)
    score = seasons.score_of(season, code)
    assert not [mark for part in score.parts for mark in part.marks if WORDS in mark.text]
    told = [problem for problem in score.problems if problem.code == TAKEN_OFF]
    assert [problem.bar for problem in told] == ["1", "2"]


def test_a_single_score_is_read_without_them(tmp_path: Path) -> None:
    """Read by itself it is the page that it was, every element accounted for; so is its letter."""
    sent = tmp_path / "sent.musicxml"
    sent.write_bytes(marked())
    analysis = app.open_entry(sent)
    assert same_page(analysis.score, read_bytes(signed(FIRST), "first.musicxml"))
    assert not [row for row in app.file_account(analysis, sent) if row.lost]
    done = app.review(analysis, "sent", app.choose(only=["nested-arcs"]))
    assert WORDS not in app.write_letter(done, analysis, sent, tmp_path).read_text(encoding="utf-8")


def test_an_unmarked_page_is_left_as_it_is(season: Season) -> None:
    """Nothing is told, and no byte of the page is touched."""
    code = seasons.add_bytes(season, signed(FIRST), "first.musicxml")
    assert not [one for one in seasons.score_of(season, code).problems if one.code == TAKEN_OFF]
