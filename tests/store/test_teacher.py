"""The teacher's word on an entry, and seasons of an older program."""

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from redstave import store
from redstave.base.errors import StaleError
from redstave.model.match import Choice, Pin, VoiceOverride
from redstave.model.role import Role, RoleOverride
from redstave.model.season import Told
from redstave.model.teacher import NOTHING_SAID, TeachersWord
from redstave.store import Season, tables
from redstave.store.season import FILE
from tests.store.conftest import begun

WORD = TeachersWord(
    (Pin(4, 3),),
    (VoiceOverride(0, 7, 2, Choice.HIGHEST, "tune"),),
    (RoleOverride("P1:1", 0, 3, Role.COUNTER),),
    (8, 16),
)


def test_a_word_comes_back_as_it_was_given(season: Season) -> None:
    """Pins, voices, roles and cuts are kept by version, and nothing is said where nothing was."""
    assert store.read_word(season, "Juniper", 1) == Told(NOTHING_SAID, 0)
    assert store.write_word(season, "Juniper", 1, WORD, 0) == Told(WORD, 1)
    assert store.read_word(season, "Juniper", 1) == Told(WORD, 1)
    store.add_version(season, "Juniper", store.keep_bytes(season, b"two"), ".mxl", "b")
    assert store.read_word(season, "Juniper", 2) == Told()


def test_a_stale_word_is_refused_and_kept(season: Season) -> None:
    """Two tabs that set pins: the second is refused, and what it said is kept beside."""
    store.write_word(season, "Juniper", 1, WORD, 0)
    with pytest.raises(StaleError):
        store.write_word(season, "Juniper", 1, TeachersWord(cuts=(1,)), 0)
    assert store.read_word(season, "Juniper", 1).word == WORD
    assert '"cuts":[1]' in store.texts_set_aside(season, "Juniper")[0].text


def test_an_older_season_is_brought_up_to_date_and_kept_beside(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A season of the first tables opens with all that is in it; the old file stays beside."""
    with monkeypatch.context() as older:
        older.setattr("redstave.store.migrate.SCHEMA", "0001")
        with begun(store.make_season_folder(tmp_path / "s")) as season:
            store.save_draft(season, "Juniper", "opening", "Dear", 0)
    with closing(sqlite3.connect(tmp_path / "s" / FILE)) as old:
        known = {row[0] for row in old.execute("SELECT name FROM sqlite_master")}
    assert "teacher_word" not in known
    with store.open_season_folder(tmp_path / "s") as season:
        assert store.read_draft(season, "Juniper", "opening").text == "Dear"
        store.write_word(season, "Juniper", 1, WORD, 0)
    kept = tmp_path / "s" / f"{FILE}.tables-0001"
    with closing(sqlite3.connect(kept)) as old:
        assert old.execute("SELECT text FROM draft").fetchall() == [("Dear",)]
        assert old.execute("SELECT version_num FROM alembic_version").fetchall() == [("0001",)]
    assert tables.SCHEMA > "0001"
