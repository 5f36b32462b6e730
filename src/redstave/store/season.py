"""A season on disk: a folder with one SQLite file and the entries' files beside it.

::

    DIR/
    ├── season.sqlite    all that was typed and computed (write-ahead log, full synchronous)
    ├── season.toml      only where the tables live in another database: `database = "<URL>"`
    └── files/           the bytes of the original and of every version, named by their SHA-256

Closing a season folds SQLite's write-ahead log into the one file, so that a copy of the folder is a
backup; while it is open, its companions (-wal, -shm) belong to the copy, or use `copy_season`.
"""

import shutil
import threading
import tomllib
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

from sqlalchemy import URL, Connection, Engine, select

from redstave.base.errors import InputError, StaleError
from redstave.store.aside import keep_aside
from redstave.store.database import SQLITE, engine_for, told
from redstave.store.migrate import bring_up_to_date
from redstave.store.tables import season as table

FILE = "season.sqlite"
ELSEWHERE = "season.toml"
FILES = "files"

Clock = Callable[[], datetime]


def now_utc() -> datetime:
    """Return the time of day in UTC."""
    return datetime.now(UTC)


class Season:
    """An open season. Every function of the store takes one; close it, or use it in a `with`.

    It may be used from several threads; each thread has its own transaction.
    """

    def __init__(self, folder: Path, engine: Engine, clock: Clock = now_utc) -> None:
        self.folder = folder
        self.engine = engine
        self._clock = clock
        self._open = threading.local()

    def __enter__(self) -> "Season":
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        """Close it; the last to close a SQLite season leaves one file without a log beside it."""
        self.engine.dispose()

    def now(self) -> str:
        """Return the time that what is written now is given: UTC, to the millisecond."""
        return self._clock().astimezone(UTC).isoformat(timespec="milliseconds")

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """Yield a connection that sees one state of the season throughout."""
        running: Connection | None = getattr(self._open, "running", None)
        if running is not None:
            yield running
            return
        with told(self.folder), self.engine.connect() as connection:
            yield connection

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """Yield a connection whose writes are all on disk when the block ends, or none of them.

        Inside another `writing` of the same thread it joins that one. A stale write undoes the
        block and keeps the refused text beside it.
        """
        running: Connection | None = getattr(self._open, "running", None)
        if running is not None:
            yield running
            return
        try:
            with told(self.folder), self.engine.connect() as fresh:
                connection = fresh.execution_options(writes=True)
                with connection.begin():
                    self._open.running = connection
                    yield connection
        except StaleError as stale:
            self._open.running = None
            with self.writing() as after:
                keep_aside(after, stale, self.now())
            raise
        finally:
            self._open.running = None


def make_season_folder(folder: Path, url: str = "", clock: Clock = now_utc) -> Season:
    """Make an empty season in a folder and return it open; it is one once its facts are written.

    What an interrupted attempt has left there is taken over; InputError where there is a season, or
    where none can be made: then the folder is as it was.
    """
    was_there = folder.exists()
    if url and any((folder / name).exists() for name in (FILE, ELSEWHERE)):
        raise InputError(f"{folder} holds a season already; choose another folder")
    try:
        _lay_out(folder, url)
        season = _opened(folder, url or _url(folder), clock)
        _refuse_taken(season)
    except InputError:
        if not was_there:
            shutil.rmtree(folder, ignore_errors=True)
        raise
    return season


def _refuse_taken(season: Season) -> None:
    with season.reading() as db:
        taken = db.execute(select(table.c.id)).first() is not None
    if taken:
        season.close()
        raise InputError(
            f"{season.folder}, or the database it names, holds a season already; choose another"
        )


def _lay_out(folder: Path, url: str) -> None:
    try:
        (folder / FILES).mkdir(parents=True, exist_ok=True)
        if url:
            text = url.replace("\\", "\\\\").replace('"', '\\"')
            (folder / ELSEWHERE).write_text(f'database = "{text}"\n', encoding="utf-8")
    except OSError as error:
        raise InputError(
            f"no season can be made in {folder} ({error.strerror}); choose another folder"
        ) from error


def open_season_folder(folder: Path, clock: Clock = now_utc) -> Season:
    """Open a season; InputError where the folder holds none or a newer program has written it."""
    url = _url(folder)
    if not url and not (folder / FILE).is_file():
        raise InputError(
            f'there is no season in {folder}; make one with "redstave season new {folder}"'
        )
    return _opened(folder, url, clock)


def _opened(folder: Path, url: str, clock: Clock) -> Season:
    engine = engine_for(url or URL.create(SQLITE, database=str(folder / FILE)))
    try:
        with told(folder):
            bring_up_to_date(engine, folder / FILE if not url else None)
    except BaseException:
        engine.dispose()
        raise
    return Season(folder, engine, clock)


def _url(folder: Path) -> str:
    """Return the address of a database elsewhere, "" for the file in the folder."""
    path = folder / ELSEWHERE
    if not path.is_file():
        return ""
    try:
        url = tomllib.loads(path.read_text("utf-8")).get("database")
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise InputError(f"{path} cannot be read ({error})") from error
    if not isinstance(url, str) or not url:
        raise InputError(f'{path} should hold one line: database = "<address of the database>"')
    return url
