"""A copy of a season that is whole, whatever else is being done with it."""

import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

from redstave.base.errors import InputError
from redstave.store.season import FILE, FILES, Season


def copy_to(season: Season, folder: Path) -> None:
    """Copy a season kept in files into a new folder; InputError where that cannot be done.

    The tables are copied as they are at one instant; the files after them, so that all are there
    that the tables speak of. What was begun and fails is removed again.
    """
    source = season.folder / FILE
    if season.engine.dialect.name != "sqlite":
        raise InputError(
            f"the tables of {season.folder} are in a database of their own; copy that one with its "
            "own tools, and the folder as it is"
        )
    try:
        folder.mkdir(parents=True)
    except OSError as error:
        raise InputError(
            f"no copy can be made in {folder} ({error.strerror}); name a folder that is not there"
        ) from error
    try:
        with (
            closing(sqlite3.connect(source)) as old,
            closing(sqlite3.connect(folder / FILE)) as new,
        ):
            old.backup(new)
        shutil.copytree(season.folder / FILES, folder / FILES)
    except (OSError, sqlite3.Error) as error:
        shutil.rmtree(folder, ignore_errors=True)
        raise InputError(
            f"the copy could not be made in {folder} ({error}); make room or choose another place"
        ) from error
