"""Entries, their versions, and the seal on their names."""

from pathlib import Path

import pytest

from redstave import store
from redstave.base.errors import InputError
from redstave.model.finding import Spot
from redstave.model.grade import Criteria, Criterion
from redstave.model.remark import Remark, RemarkKind
from redstave.model.season import SeasonFacts, Stage, Version
from redstave.store import Season
from tests.store.conftest import CRITERIA, begun
from tests.store.test_reviews import review_with


def test_facts_and_criteria_come_back(season: Season) -> None:
    """What a season was made with is what it is, and it is made once."""
    assert store.read_facts(season) == SeasonFacts("Spring")
    assert store.read_criteria(season) == CRITERIA
    with pytest.raises(InputError, match="holds a season already"):
        store.write_facts(season, SeasonFacts("Another"), CRITERIA)


def test_new_criteria_leave_the_old_ones_in_the_log(season: Season) -> None:
    """Changing the criteria of a season keeps what they were."""
    other = Criteria("One", (Criterion("all", "All", "All of it.", 1.0, 6.0),))
    store.write_criteria(season, other)
    assert store.read_criteria(season) == other
    (line,) = store.read_log(season)
    assert line.what == "criteria changed"
    assert "Two criteria" in line.detail


def test_versions_are_numbered_and_a_file_comes_once(season: Season) -> None:
    """A further version counts on; the very same file is refused, whoever sends it."""
    second = store.keep_bytes(season, b"two")
    entry = store.add_version(season, "Juniper", second, ".musicxml", "again.musicxml")
    assert [one.number for one in entry.versions] == [1, 2]
    assert entry.newest == Version(2, second, ".musicxml")
    with pytest.raises(InputError, match="already"):
        store.add_version(season, "Elm", second, ".musicxml", "copy.musicxml")
    assert [one.code for one in store.read_entries(season)] == ["Juniper"]


def test_names_stay_under_seal_until_the_season_is_opened(season: Season) -> None:
    """The names cannot be read before, can be read after, and the log says when it was."""
    with pytest.raises(InputError, match="sealed"):
        store.sealed_names(season)
    store.open_names(season)
    store.open_names(season)
    assert [(one.code, one.name) for one in store.sealed_names(season)] == [
        ("Juniper", "secret.mxl")
    ]
    assert [line.what for line in store.read_log(season)] == ["names opened"]


def test_kept_files_tell_neither_name_nor_time(season: Season) -> None:
    """A kept file is called by its content and all bear one time; what is damaged is told."""
    name = store.keep_bytes(season, b"score of Somebody")
    path = season.folder / "files" / name[:2] / name
    assert path.stat().st_mtime == 0
    assert store.kept_bytes(season, name) == b"score of Somebody"
    path.write_bytes(b"other")
    with pytest.raises(InputError, match="damaged"):
        store.kept_bytes(season, name)
    path.unlink()
    with pytest.raises(InputError, match="missing"):
        store.kept_bytes(season, name)


def test_the_stage_follows_the_work(season: Season) -> None:
    """New, computed, in reading, written, sent: each follows from what is there."""

    def stage() -> Stage:
        return store.read_entry(season, "Juniper").stage

    assert stage() is Stage.NEW
    store.add_review(season, "Juniper", 1, review_with())
    assert stage() is Stage.COMPUTED
    store.add_remark(
        season, "Juniper", Remark("", RemarkKind.PRAISE, "Good", (Spot(0, 0, "P1", 1, 0),))
    )
    assert stage() is Stage.READING
    store.set_stage(season, "Juniper", Stage.WRITTEN)
    assert stage() is Stage.WRITTEN
    store.set_stage(season, "Juniper", Stage.READING)
    assert stage() is Stage.READING


def test_time_spent_adds_up(season: Season) -> None:
    """Seconds at the desk add up over visits and never go back."""
    for seconds in (60.0, 30.5, -5.0):
        store.add_seconds(season, "Juniper", seconds)
    assert store.read_entry(season, "Juniper").seconds == 90.5


def test_a_copy_is_whole_while_the_season_is_open(in_a_file: Season, tmp_path: Path) -> None:
    """A copy made in the middle of work holds all that was saved, files included."""
    store.save_draft(in_a_file, "Juniper", "opening", "Dear", 0)
    store.copy_to(in_a_file, tmp_path / "copy")
    with store.open_season_folder(tmp_path / "copy") as copy:
        assert store.read_draft(copy, "Juniper", "opening").text == "Dear"
        assert store.kept_bytes(copy, store.read_entry(copy, "Juniper").newest.sha256) == b"one"
    with pytest.raises(InputError, match="name a folder that is not there"):
        store.copy_to(in_a_file, tmp_path / "copy")


@pytest.mark.parametrize("name", ["Frühling 2026", "a?b#c%d", "50 %", 'it\'s "new"'])
def test_a_folder_may_be_called_anything(tmp_path: Path, name: str) -> None:
    """Blanks, letters and signs in a folder's name are its own affair."""
    with begun(store.make_season_folder(tmp_path / name)) as season:
        store.save_draft(season, "Juniper", "opening", "Dear", 0)
    with store.open_season_folder(tmp_path / name) as season:
        assert store.read_draft(season, "Juniper", "opening").text == "Dear"
    assert [path.name for path in tmp_path.iterdir()] == [name]


def test_closing_leaves_one_file(in_a_file: Season) -> None:
    """A closed season has no log beside its file, so that a copy of the folder is a backup."""
    store.save_draft(in_a_file, "Juniper", "opening", "Dear", 0)
    in_a_file.close()
    left = sorted(path.name for path in in_a_file.folder.iterdir())
    assert left == ["files", "season.sqlite"]
