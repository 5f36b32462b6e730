"""Migrations make the tables that the store speaks of."""

from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import text

from redstave.base.errors import InputError
from redstave.store import Season, open_season_folder
from redstave.store.migrate import alembic_config
from redstave.store.season import FILE
from redstave.store.tables import SCHEMA, metadata


def test_migrations_make_the_tables(season: Season) -> None:
    """A season made by the migrations has the tables, columns and keys of `tables`."""
    with season.reading() as db:
        assert compare_metadata(MigrationContext.configure(db), metadata) == []


def test_the_newest_migration_is_the_one_stated() -> None:
    """SCHEMA names the only head of the migrations that are there."""
    assert ScriptDirectory.from_config(alembic_config()).get_heads() == [SCHEMA]


def test_a_newer_season_is_left_alone(in_a_file: Season) -> None:
    """Tables of a newer program give one sentence, and nothing is changed."""
    folder = in_a_file.folder
    with in_a_file.writing() as db:
        db.execute(text("UPDATE alembic_version SET version_num = '9999'"))
    in_a_file.close()
    before = (folder / FILE).read_bytes()
    with pytest.raises(InputError, match="newer Redstave"):
        open_season_folder(folder)
    assert (folder / FILE).read_bytes() == before


def test_a_folder_without_a_season_is_told(tmp_path: Path) -> None:
    """Opening what holds no season says how to make one, and makes nothing."""
    with pytest.raises(InputError, match="season new"):
        open_season_folder(tmp_path / "nothing")
    assert list(tmp_path.iterdir()) == []


def test_sqlite_is_set_up_to_lose_nothing(in_a_file: Season) -> None:
    """Every connection writes ahead, synchronises fully, keeps foreign keys and waits."""
    with in_a_file.reading() as db:
        found = {
            name: db.exec_driver_sql(f"PRAGMA {name}").scalar()
            for name in ("journal_mode", "synchronous", "foreign_keys", "busy_timeout")
        }
    assert found == {
        "journal_mode": "wal", "synchronous": 2, "foreign_keys": 1, "busy_timeout": 10_000,
    }  # fmt: skip
