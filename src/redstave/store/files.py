"""The bytes of the original and the entries, each kept once under its SHA-256."""

import os
from hashlib import sha256

from redstave.base.errors import InputError
from redstave.store.season import FILES, Season

#: All files are given one time, so that none tells when its entry arrived.
_NO_TIME = (0, 0)


def keep_bytes(season: Season, data: bytes) -> str:
    """Keep bytes, on disk when this returns, and return their SHA-256."""
    name = sha256(data).hexdigest()
    path = season.folder / FILES / name[:2] / name
    part = path.with_suffix(".part")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with part.open("wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        os.utime(part, _NO_TIME)
        part.replace(path)
        _sync(path.parent)
    except OSError as error:
        part.unlink(missing_ok=True)
        raise InputError(
            f"the file could not be kept in {season.folder} ({error.strerror}); make room and add "
            "it again, nothing else was changed"
        ) from error
    return name


def kept_bytes(season: Season, name: str) -> bytes:
    """Return the bytes kept under a SHA-256; InputError where they are lost or damaged."""
    path = season.folder / FILES / name[:2] / name
    try:
        data = path.read_bytes()
    except OSError as error:
        raise InputError(
            f"a file of the season is missing ({path}, {error.strerror}); take it from your copy"
        ) from error
    if sha256(data).hexdigest() != name:
        raise InputError(f"a file of the season is damaged ({path}); take it from your copy")
    return data


def _sync(folder: "os.PathLike[str]") -> None:
    """Make a new name in a folder durable, where the system can."""
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
