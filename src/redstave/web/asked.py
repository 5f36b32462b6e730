"""What a request may say: code names, bars, layouts. Anything else is refused before it is used.

A code name only ever looks an entry up in the season; bars and systems are numbers that are held
against the score. None of it becomes part of a path.
"""

from typing import Annotated

from fastapi import Path, Query, Request

from redstave.app.desk import Opened
from redstave.base.errors import InputError
from redstave.render.systems import Layout, layout_of
from redstave.web.desk import Desk

CODE = r"^[A-Za-z][A-Za-z0-9-]{0,63}$"
KEY = r"^[0-9a-f]{1,64}$"
FIELD = r"^[a-z][A-Za-z0-9:._-]{0,95}$"

Code = Annotated[str, Path(pattern=CODE, description="The code name of an entry.")]
Key = Annotated[str, Path(pattern=KEY, description="The key of a finding or a remark.")]
Field = Annotated[str, Path(pattern=FIELD, description="The name of a text that is being typed.")]
Bar = Annotated[int, Path(ge=0, le=100_000, description="A bar by its index, from 0.")]
Number = Annotated[int, Path(ge=0, le=100_000, description="A system by its number, from 0.")]
Word = Annotated[str, Query(max_length=40)]
Words = Annotated[str, Query(max_length=200)]

MOST_BARS = 64  # asked for at once


def desk_of(request: Request) -> Desk:
    """Return the desk that answers a request."""
    desk: Desk = request.app.state.desk
    return desk


def guest(request: Request) -> bool:
    """Tell whether a guest asks, who may look and change nothing."""
    return bool(getattr(request.state, "guest", False))


def asked_layout(
    opened: Opened, pitch: str = "", notes: str = "", silent: str = "", families: str = ""
) -> Layout:
    """Return the layout that an address asks for."""
    asked = {"pitch": pitch, "notes": notes, "silent": silent, "families": families}
    return layout_of(asked, tuple(name for name, _ in opened.families))


def asked_bars(opened: Opened, first: int, last: int) -> tuple[int, int]:
    """Return a range of bars that the score has; InputError for another."""
    bars = len(opened.analysis.score.bars)
    if not first <= last < bars:
        raise InputError(f"the score has {bars} bars, from 0 to {bars - 1} in this address")
    if last - first >= MOST_BARS:
        raise InputError(f"ask for at most {MOST_BARS} bars at once")
    return first, last
