"""What is heard in some bars, as data, and the tones to play them with."""

from typing import Any

from fastapi import APIRouter, Request

from redstave.app.desk import heard_in_bars, tones_in_bars
from redstave.web.asked import Bar, Code, asked_bars, desk_of

router = APIRouter(prefix="/entries/{code}")


@router.get("/heard/{first}/{last}")
def heard(request: Request, code: Code, first: Bar, last: Bar) -> list[dict[str, Any]]:
    """Return every line of every stave in some bars with what is heard of it."""
    opened = desk_of(request).opened(code)
    return heard_in_bars(opened, *asked_bars(opened, first, last))


@router.get("/tones/{first}/{last}")
def tones(request: Request, code: Code, first: Bar, last: Bar) -> dict[str, Any]:
    """Return the tones of some bars as partials, levels and times: an estimate to listen to."""
    opened = desk_of(request).opened(code)
    return tones_in_bars(opened, *asked_bars(opened, first, last))
