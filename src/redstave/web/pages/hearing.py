"""Hearing: the whole piece by time, what covers the tune where, and one bar strand by strand."""

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse

from redstave.app.desk import jumps
from redstave.app.desk.hearing_page import hearing_page
from redstave.app.desk.strands import strands_of
from redstave.app.desk.word_page import word_page
from redstave.web.asked import Bar, Code, asked_bars, desk_of
from redstave.web.paper import page

router = APIRouter(prefix="/entries/{code}")


@router.get("/hearing", response_class=HTMLResponse)
def hearing(request: Request, code: Code) -> HTMLResponse:
    """Return the page on which the whole piece is seen at once."""
    desk = desk_of(request)
    opened = desk.opened(code)
    return page(
        request,
        "hearing.html.j2",
        code=code,
        hearing=hearing_page(opened),
        places=jumps(opened),
        heard_in=opened.analysis.hall.name,
        word=word_page(desk.season, opened),
    )


@router.get("/hearing/{bar}", response_class=HTMLResponse)
def bar(request: Request, code: Code, bar: Bar) -> HTMLResponse:
    """Return the strands of one bar with what is heard of them."""
    opened = desk_of(request).opened(code)
    asked_bars(opened, bar, bar)
    name = opened.bar_name(bar)
    return page(request, "_strands.html.j2", strands=strands_of(opened, bar), name=name)
