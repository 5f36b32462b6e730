"""Origin: what became of the piano piece, and bars of both pages one above the other."""

from typing import Annotated

from fastapi import APIRouter, Query, Request
from fastapi.responses import HTMLResponse

from redstave.app.desk import jumps
from redstave.app.desk.origin_page import origin_page
from redstave.app.desk.word_page import word_page
from redstave.web.asked import Bar, Code, asked_bars, desk_of
from redstave.web.paper import page

router = APIRouter(prefix="/entries/{code}")


@router.get("/origin", response_class=HTMLResponse)
def origin(request: Request, code: Code) -> HTMLResponse:
    """Return the page on which an entry stands beside its original."""
    desk = desk_of(request)
    opened = desk.opened(code)
    found, word = origin_page(opened), word_page(desk.season, opened)
    return page(request, "origin.html.j2", code=code, origin=found, word=word, places=jumps(opened))


@router.get("/origin/{first}/{last}", response_class=HTMLResponse)
def both(
    request: Request,
    code: Code,
    first: Bar,
    last: Bar,
    voice: Annotated[int, Query(ge=-1, le=100)] = -1,
) -> HTMLResponse:
    """Return some bars engraved, the piano's above the entry's; a voice's notes are ringed."""
    desk = desk_of(request)
    opened = desk.opened(code)
    shown = desk.origins.compare(opened, *asked_bars(opened, first, last), voice)
    return page(request, "_both.html.j2", shown=shown)
