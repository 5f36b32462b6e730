"""Bringing a season's tables up to date, with a copy of the old file kept beside the new."""

import sqlite3
from contextlib import closing
from importlib import import_module
from importlib.resources import files
from pathlib import Path
from types import ModuleType
from typing import Any

from sqlalchemy import Connection, Engine, inspect, text

from redstave.base.errors import InputError
from redstave.store.tables import SCHEMA


def bring_up_to_date(engine: Engine, file: Path | None) -> None:
    """Migrate to this program's tables; `file` is the SQLite file, None for another database.

    InputError for tables of a newer Redstave: they are left alone.
    """
    with engine.connect() as connection:
        found = _schema(connection)
    if found == SCHEMA:
        return
    if found > SCHEMA:
        raise InputError(
            f"this season was written by a newer Redstave (tables {found}, this one knows "
            f"{SCHEMA}); use that one, nothing was changed"
        )
    if found and file is not None:
        _keep(file, file.with_name(f"{file.name}.tables-{found}"))
    _upgrade(engine)


def _keep(file: Path, copy: Path) -> None:
    """Copy a SQLite file as it is at one instant, its log included."""
    with closing(sqlite3.connect(file)) as old, closing(sqlite3.connect(copy)) as new:
        old.backup(new)


def _schema(connection: Connection) -> str:
    """Return the number of the newest migration that was run, "" for none."""
    if not inspect(connection).has_table("alembic_version"):
        return ""
    return connection.execute(text("SELECT version_num FROM alembic_version")).scalar() or ""


def _upgrade(engine: Engine) -> None:
    with engine.connect() as fresh:
        connection = fresh.execution_options(writes=True)
        with connection.begin():
            # Two programs that open a new season at once: the second waits, then finds it done.
            if _schema(connection) != SCHEMA:
                _alembic("command").upgrade(alembic_config(connection), SCHEMA)


def alembic_config(connection: Connection | None = None) -> Any:
    """Return Alembic's configuration; its migrations work on the connection given."""
    config = _alembic("config").Config()
    place = str(files("redstave.store") / "migrations")
    config.set_main_option("script_location", place.replace("%", "%%"))
    config.attributes["connection"] = connection
    return config


def _alembic(name: str) -> ModuleType:
    """Load a part of Alembic when it is needed: it is slow, and most seasons are up to date."""
    return import_module(f"alembic.{name}")
