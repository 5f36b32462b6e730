"""Lessons: what most entries of the season share, for the hour in which all are taught."""

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse

from redstave.app.desk.lessons_page import lessons_page
from redstave.web.asked import desk_of
from redstave.web.paper import page

router = APIRouter()


@router.get("/lessons", response_class=HTMLResponse)
def lessons(request: Request) -> HTMLResponse:
    """Return the page of lessons."""
    return page(request, "lessons.html.j2", lessons=lessons_page(desk_of(request).season))
