"""The season: its entries and how far the teacher is with each; adding files, computing, checks."""

from typing import Annotated, Any

from fastapi import APIRouter, File, Form, Path, Request, UploadFile
from fastapi.responses import HTMLResponse, JSONResponse
from pydantic import BaseModel
from pydantic import Field as Limits

from redstave.app import seasons
from redstave.app.desk.evenness_view import evenness_view
from redstave.app.desk.season_page import add_unseen, checks_page, progress_json, season_page
from redstave.base.errors import InputError
from redstave.web.asked import CODE, desk_of
from redstave.web.paper import page

router = APIRouter()
SLUG = r"^[a-z][a-z0-9-]{0,79}$"
SETTING = r"^[a-z][a-z0-9_]{0,79}$"
MOST_CODES = 2000

Slug = Annotated[str, Path(pattern=SLUG, description="A check.")]
Setting = Annotated[str, Path(pattern=SETTING, description="A threshold of a check.")]
CodeWord = Annotated[str, Limits(pattern=CODE)]


class Wanted(BaseModel):
    """The entries to be computed; none: all that wait."""

    codes: Annotated[list[CodeWord], Limits(max_length=MOST_CODES)] = []


class Moved(BaseModel):
    """Where a threshold is moved to; nothing: back to its default."""

    value: Annotated[float | None, Limits(allow_inf_nan=False)] = None


class Switched(BaseModel):
    """Whether a check is run in this season; nothing: as in the catalogue."""

    on: bool | None = None


@router.get("/", response_class=HTMLResponse)
def season(request: Request) -> HTMLResponse:
    """Return the page of the season."""
    even = evenness_view(desk_of(request).season)
    return page(request, "season.html.j2", even=even, **_known(request))


@router.get("/entries", response_class=HTMLResponse)
def entries(request: Request) -> HTMLResponse:
    """Return the entries with their states, as they are now."""
    return page(request, "_entries.html.j2", **_known(request))


@router.get("/checks", response_class=HTMLResponse)
def checks(request: Request) -> HTMLResponse:
    """Return how the checks have fared so far."""
    return page(request, "_checks.html.j2", checks=checks_page(desk_of(request).season))


@router.post("/files", status_code=201)
def add(
    request: Request,
    file: Annotated[UploadFile, File()],
    again: Annotated[str, Form(pattern=r"^$|" + CODE)] = "",
) -> dict[str, str]:
    """Add a file as a new entry, or as a further version of `again`; it is computed next.

    Its name goes under seal and is not in the answer.
    """
    desk = desk_of(request)
    code = add_unseen(desk.season, file.file.read(), file.filename or "", again)
    desk.computing.start([code])
    return {"code": code}


@router.get("/computing")
def computing(request: Request) -> dict[str, Any]:
    """Return how far computing is."""
    return progress_json(desk_of(request).computing.progress)


@router.post("/computing", status_code=202)
def compute(request: Request, wanted: Wanted) -> dict[str, Any]:
    """Begin to compute entries in the background."""
    desk = desk_of(request)
    known = season_page(desk.season)
    strange = set(wanted.codes) - {one["code"] for one in known["entries"]}
    if strange:
        raise InputError(f"there is no entry {min(strange)} in this season")
    return progress_json(desk.computing.start(wanted.codes or known["waiting"]))


@router.delete("/computing")
def stop(request: Request) -> dict[str, Any]:
    """Stop computing; what is done is kept."""
    return progress_json(desk_of(request).computing.stop())


@router.put("/checks/{slug}", response_class=HTMLResponse)
def switch(request: Request, slug: Slug, switched: Switched) -> HTMLResponse:
    """Leave a check out of this season, or take it in again."""
    seasons.switch(desk_of(request).season, slug, switched.on)
    return checks(request)


@router.put("/checks/{slug}/{setting}", response_class=HTMLResponse)
def move(request: Request, slug: Slug, setting: Setting, moved: Moved) -> HTMLResponse:
    """Move a threshold for this season, or put it back."""
    seasons.move(desk_of(request).season, slug, setting, moved.value)
    return checks(request)


@router.post("/names")
def names(request: Request) -> JSONResponse:
    """Break the seal: from now on the season shows under which names the files came."""
    return JSONResponse({"opened": len(seasons.open_names(desk_of(request).season))})


def _known(request: Request) -> dict[str, Any]:
    desk = desk_of(request)
    return {
        "season": season_page(desk.season),
        "checks": checks_page(desk.season),
        "progress": progress_json(desk.computing.progress),
    }
