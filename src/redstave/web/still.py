"""Style sheets, scripts and the music font, read once at the start.

What can be asked for is a fixed list of names made here: no path of a request reaches the disk.
Addresses carry `edition()`, so that a browser may keep the files for good and a new Redstave is
never shown with old scripts.
"""

import base64
import re
from functools import cache
from hashlib import sha256
from importlib.resources import files
from typing import NamedTuple

from redstave.base.errors import DataError
from redstave.render.engraver import music_font_css

KINDS = {".css": "text/css; charset=utf-8", ".js": "text/javascript; charset=utf-8"}
FONT = "leipzig.woff2"
_FONT_DATA = re.compile(r"base64,([A-Za-z0-9+/=]+)")


class Still(NamedTuple):
    """One file that never changes while the desk runs."""

    data: bytes
    kind: str


@cache
def stills() -> dict[str, Still]:
    """Return every file under the name it is asked for by."""
    found = {FONT: Still(_font(), "font/woff2")}
    for file in files("redstave.web").joinpath("static").iterdir():
        ending = file.name[file.name.rfind(".") :]
        if ending in KINDS:
            found[file.name] = Still(file.read_bytes(), KINDS[ending])
    return found


@cache
def edition() -> str:
    """Return a word that changes whenever any of the files does."""
    every = b"".join(name.encode() + one.data for name, one in sorted(stills().items()))
    return sha256(every).hexdigest()[:12]


def _font() -> bytes:
    """Return the engraver's music font (SIL Open Font License) out of its style sheet."""
    found = _FONT_DATA.search(music_font_css())
    if found is None:
        raise DataError("the engraver's music font is not where it was; install verovio anew")
    return base64.b64decode(found[1])
