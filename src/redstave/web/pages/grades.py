"""Grades: criteria with their bands and their evidence; points, notes, the total, the lock."""

from typing import Annotated, Any

from fastapi import APIRouter, Path, Request
from fastapi.responses import HTMLResponse
from pydantic import BaseModel
from pydantic import Field as Limits

from redstave.app.desk import grades_page as grades
from redstave.web.asked import Code, desk_of
from redstave.web.paper import page

router = APIRouter(prefix="/entries/{code}/grades")

CriterionKey = Annotated[str, Path(pattern=r"^[A-Za-z0-9][A-Za-z0-9_-]{0,79}$")]
Reason = Annotated[str, Limits(max_length=2000)]


class Given(BaseModel):
    """Points (none: taken back) and a note, and the revision they were given over."""

    points: Annotated[float, Limits(ge=0, le=1e6, allow_inf_nan=False)] | None = None
    note: Annotated[str, Limits(max_length=60_000)] = ""
    revision: Annotated[int, Limits(ge=0, le=2**31)]
    reason: Reason = ""


class Why(BaseModel):
    """Why locked grades are opened again."""

    reason: Reason


@router.get("", response_class=HTMLResponse)
def show(request: Request, code: Code) -> HTMLResponse:
    """Return the page of grades."""
    desk = desk_of(request)
    known = grades.grades_page(desk.season, desk.opened(code))
    return page(request, "grades.html.j2", code=code, grades=known)


@router.put("/{key}")
def give(request: Request, code: Code, key: CriterionKey, given: Given) -> dict[str, Any]:
    """Give points; 409 where another tab was first."""
    season = desk_of(request).season
    asked = given.points, given.note, given.revision, given.reason
    return grades.give(season, code, key, *asked)


@router.post("/lock")
def lock(request: Request, code: Code) -> dict[str, Any]:
    """Lock the grades: from now on every change is logged."""
    grades.lock(desk_of(request).season, code)
    return {"locked": True}


@router.delete("/lock")
def unlock(request: Request, code: Code, why: Why) -> dict[str, Any]:
    """Open locked grades again; the log says why."""
    grades.unlock(desk_of(request).season, code, why.reason)
    return {"locked": False}
