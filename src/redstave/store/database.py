"""Engines as a season needs them, and what goes wrong in a database told in one sentence."""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from sqlalchemy import URL, Connection, Engine, create_engine, event
from sqlalchemy.exc import ArgumentError, DBAPIError, NoSuchModuleError

from redstave.base.errors import InputError

SQLITE = "sqlite+pysqlite"
PATIENCE_MS = 10_000  # how long a second writer waits for the first

#: What SQLite says, and what a teacher should be told.
DAMAGED = "its file season.sqlite is damaged; take your last copy of the folder"
_SQLITE_TROUBLES = (
    ("disk is full", "the disk is full; make room"),
    ("disk I/O error", "the disk is full or does not answer; make room or look after it"),
    ("locked", "another program keeps writing to it; close that one"),
    ("readonly", "it may not be written to; change its permissions"),
    ("unable to open", "its file cannot be opened; look at the folder's permissions and room"),
    ("not a database", DAMAGED),
    ("malformed", DAMAGED),
)


def engine_for(url: str | URL) -> Engine:
    """Return an engine for any SQLAlchemy address; InputError for one that means nothing."""
    try:
        engine = create_engine(url, hide_parameters=True)
    except (ArgumentError, NoSuchModuleError, ImportError) as error:
        raise InputError(
            f"the address of the database cannot be used ({error}); write one such as "
            "postgresql+psycopg://user@host/name"
        ) from error
    if engine.dialect.name == "sqlite":
        event.listen(engine, "connect", _set_up_sqlite)
        event.listen(engine, "begin", _begin_sqlite)
    return engine


def _set_up_sqlite(connection: sqlite3.Connection, _: Any) -> None:
    """Make every commit durable, and leave transactions to us instead of to the driver."""
    connection.isolation_level = None
    for pragma in (
        f"busy_timeout = {PATIENCE_MS}",
        "journal_mode = WAL",
        "synchronous = FULL",
        "foreign_keys = ON",
    ):
        connection.execute(f"PRAGMA {pragma}")


def _begin_sqlite(connection: Connection) -> None:
    """Take the lock at once where a block will write: a reader cannot become a writer later."""
    writes = connection.get_execution_options().get("writes", False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


@contextmanager
def told(folder: Path) -> Iterator[None]:
    """Turn what a database complains of into one sentence; a fault of ours stays what it is."""
    try:
        yield
    except DBAPIError as error:
        trouble = _trouble(error)
        if not trouble:
            raise
        safe = "" if trouble == DAMAGED else ", and do it again; what was saved before is safe"
        raise InputError(f"the season in {folder} could not be used: {trouble}{safe}") from error


def _trouble(error: DBAPIError) -> str:
    text = str(error.orig)
    if isinstance(error.orig, sqlite3.Error):
        return next((told for said, told in _SQLITE_TROUBLES if said in text), "")
    if error.connection_invalidated or type(error.orig).__name__ == "OperationalError":
        return f"its database does not answer ({' '.join(text.split())}); start it"
    return ""
