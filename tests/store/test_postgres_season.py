"""A whole season whose tables live in PostgreSQL."""

from collections.abc import Callable
from pathlib import Path

import pytest

from redstave import store
from redstave.app import seasons
from redstave.base.errors import InputError
from redstave.model.remark import finding_key
from redstave.model.season import SeasonFacts
from tests.app.season_entry import FIRST, SECOND, signed


def test_a_season_is_worked_through_in_postgresql(
    new_database: Callable[[], str], tmp_path: Path
) -> None:
    """From intake over a second version to the letter, closed and opened again between."""
    folder, url = tmp_path / "s", new_database()
    with seasons.new_season(folder, None, "steps", SeasonFacts("Spring"), url) as season:
        code = seasons.add_bytes(season, signed(FIRST), "a.musicxml")
        assert seasons.compute(season).reviewed == (code,)
    assert not (folder / "season.sqlite").exists()
    with seasons.open_season(folder) as season:
        review, score = seasons.review_of(season, code), seasons.score_of(season, code)
        for one in review.findings:
            seasons.accept(season, code, finding_key(one), review, score)
        seasons.save_draft(season, code, "opening", "Dear – „all“", 0)
        seasons.add_bytes(season, signed(SECOND), "b.musicxml", again=code)
        seasons.compute(season)
        seasons.carry_over(season, code)
        letter = seasons.letter_of(season, code)
        assert letter.opening == "Dear – „all“"
        assert "pitch-outside-instrument" in {one.slug for one in letter.answered}
        assert letter.remarks
        with pytest.raises(InputError, match="own tools"):
            store.copy_to(season, tmp_path / "copy")
    with pytest.raises(InputError, match="holds a season already"):
        seasons.new_season(tmp_path / "second", None, "steps", None, url)
    assert not (tmp_path / "second").exists()
