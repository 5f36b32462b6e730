"""The demonstration's season: four entries of different quality, two of them begun."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from redstave import store
from redstave.app.demo_season import demo_season, lay_out
from redstave.app.letter_of import letter_of
from redstave.app.season import open_season, season_json
from redstave.base.errors import InputError
from redstave.model.season import Stage
from redstave.store import Season


@pytest.fixture(scope="module")
def season(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Season]:
    """The season, made once; nothing here changes it."""
    with demo_season(tmp_path_factory.mktemp("demo") / "season") as made:
        yield made


def test_four_entries_are_computed(season: Season) -> None:
    """Every entry has findings, and no two have the same."""
    entries = season_json(season)["entries"]
    assert [one["code"] for one in entries] == ["Flint", "Juniper", "Larch", "Sorrel"]
    assert all(one["findings"] > 5 for one in entries)
    assert len({tuple(one["families"].items()) for one in entries}) == 4


def test_entries_stand_at_different_stages(season: Season) -> None:
    """One is written and locked, one is in reading, two wait."""
    stages = {one.code: one.stage for one in store.read_entries(season)}
    assert stages == {
        "Flint": Stage.COMPUTED,
        "Juniper": Stage.READING,
        "Larch": Stage.WRITTEN,
        "Sorrel": Stage.COMPUTED,
    }
    assert store.read_sheet(season, "Larch").locked
    assert not store.read_sheet(season, "Juniper").complete


def test_letters_are_begun(season: Season) -> None:
    """The two that were read have remarks with places, an opening, and one main point at least."""
    for code in ("Juniper", "Larch"):
        letter = letter_of(season, code)
        assert letter.strengths
        assert letter.main_points
        assert "opening" not in letter.suggested
        assert all(one.place for one in letter.remarks)


def test_file_names_say_nothing(season: Season) -> None:
    """Once the seal is broken the names under it are neutral: the demonstration has no entrants."""
    store.open_names(season)
    names = [one.name for one in store.sealed_names(season)]
    assert names == [f"submission-{number}.musicxml" for number in (1, 2, 3, 4)]


def test_laid_out_twice_keeps_what_was_typed(season: Season, tmp_path: Path) -> None:
    """The demonstration can be run again: a season that is there is left alone."""
    folder = tmp_path / "season"
    shutil.copytree(season.folder, folder)
    with open_season(folder) as again:
        store.save_draft(again, "Sorrel", "opening", "Dear Sorrel,", 0)
    assert lay_out(folder) == folder
    with open_season(folder) as again:
        assert store.read_draft(again, "Sorrel", "opening").text == "Dear Sorrel,"


def test_a_season_is_not_made_over_another(season: Season) -> None:
    """Asked for in a folder that holds a season, the demonstration refuses."""
    with pytest.raises(InputError, match="holds a season already"):
        demo_season(season.folder)
