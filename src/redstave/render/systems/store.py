"""Painted systems on disk, each named by what it shows.

The name is a hash of the file's hash, the system, the layout and the versions of painter and
engraver, so that a picture is never out of date: it is either the right one or has another name.
Nothing that a request says becomes part of a path.
"""

import json
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import asdict
from hashlib import sha256
from importlib.metadata import version
from pathlib import Path
from uuid import uuid4

from redstave.render.systems.layout import Layout
from redstave.render.systems.paint import VERSION, BarBox, Picture, StaveBox
from redstave.render.systems.plan import System

MOST_MEGABYTES = 400


class PictureStore:
    """A folder of painted systems. Several processes may use it at once."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        folder.mkdir(parents=True, exist_ok=True)

    def get(self, file: str, system: System, layout: Layout) -> Picture | None:
        """Return a painted system of a file (its SHA-256), None where it is not yet painted."""
        try:
            return _picture(self._path(file, system, layout).read_bytes())
        except (OSError, ValueError, TypeError, KeyError):  # not there, or damaged: paint it anew
            return None

    def put(self, file: str, system: System, layout: Layout, picture: Picture) -> None:
        """Keep a painted system; a full disk is no reason to stop reading."""
        path = self._path(file, system, layout)
        part = path.with_name(f".{path.stem}.{uuid4().hex}")
        try:
            path.parent.mkdir(exist_ok=True)
            part.write_text(json.dumps(asdict(picture)), encoding="utf-8")
            part.replace(path)
        except OSError:
            with suppress(OSError):
                part.unlink()

    def tidy(self, most_megabytes: int = MOST_MEGABYTES) -> int:
        """Throw the oldest pictures away until the rest fit; return how many went."""
        found = sorted(_sizes(self._folder.glob("*/*.json")), reverse=True)
        kept, gone = 0, 0
        for _, size, path in found:
            kept += size
            if kept > most_megabytes * 1_000_000:
                path.unlink(missing_ok=True)
                gone += 1
        return gone

    def _path(self, file: str, system: System, layout: Layout) -> Path:
        said = [file, *map(str, system), layout.pitch, layout.width, VERSION, version("verovio")]
        name = sha256(json.dumps(said).encode()).hexdigest()
        return self._folder / name[:2] / f"{name[2:]}.json"


def _sizes(paths: Iterable[Path]) -> Iterable[tuple[float, int, Path]]:
    for path in paths:
        with suppress(OSError):
            found = path.stat()
            yield found.st_mtime, found.st_size, path


def _picture(data: bytes) -> Picture:
    table = json.loads(data)
    return Picture(
        **table
        | {
            "shift": tuple(table["shift"]),
            "glyphs": tuple(map(tuple, table["glyphs"])),
            "staves": tuple(StaveBox(*one) for one in table["staves"]),
            "bars": tuple(BarBox(*one) for one in table["bars"]),
        }
    )
