"""Versions: a further version beside the one before it; remarks are taken along."""

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse

from redstave.app.desk.versions_page import take_along, versions_page
from redstave.web.asked import Code, desk_of
from redstave.web.paper import page

router = APIRouter(prefix="/entries/{code}/versions")


@router.get("", response_class=HTMLResponse)
def versions(request: Request, code: Code) -> HTMLResponse:
    """Return the page on which two versions of an entry stand side by side."""
    shown = versions_page(desk_of(request).season, code)
    return page(request, "versions.html.j2", code=code, versions=shown)


@router.post("/along")
def along(request: Request, code: Code) -> dict[str, list[str]]:
    """Take remarks, decisions and the teacher's word along to the newest version."""
    return {"unsaid": take_along(desk_of(request).season, code)}
