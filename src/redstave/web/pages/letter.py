"""The letter: its texts and remarks beside the very page that goes out, and its files."""

from typing import Annotated, Any

from fastapi import APIRouter, Path, Request
from fastapi.responses import HTMLResponse, Response
from pydantic import BaseModel
from pydantic import Field as Limits

from redstave.app.desk import letter_page as letters
from redstave.model.season import Stage
from redstave.web.asked import KEY, Code, desk_of
from redstave.web.paper import page

router = APIRouter(prefix="/entries/{code}")
MOST_REMARKS = 1000

#: The letter holds its own style and pictures and no script; only our own pages may frame it.
PREVIEW_POLICY = "; ".join(
    (
        "default-src 'none'",
        "style-src 'unsafe-inline'",
        "font-src data:",
        "img-src data:",
        "base-uri 'none'",
        "form-action 'none'",
        "frame-ancestors 'self'",
        "sandbox allow-same-origin",
    )
)
KINDS = {
    "html": "text/html; charset=utf-8",
    "pdf": "application/pdf",
    "txt": "text/plain; charset=utf-8",
    "vtt": "text/vtt; charset=utf-8",
    "csv": "text/csv; charset=utf-8",
    "musicxml": "application/vnd.recordare.musicxml+xml",
}

FileName = Annotated[str, Path(pattern=r"^[a-z]{1,16}(\.[a-z]{1,16})?$")]
RemarkId = Annotated[str, Limits(pattern=KEY)]


class Ordered(BaseModel):
    """Remarks (ids) in their new order."""

    ids: Annotated[list[RemarkId], Limits(max_length=MOST_REMARKS)]


class State(BaseModel):
    """How far the letter is."""

    state: Stage


@router.get("/letter", response_class=HTMLResponse)
def letter(request: Request, code: Code) -> HTMLResponse:
    """Return the page on which the letter is finished."""
    desk = desk_of(request)
    known = letters.letter_page(desk.season, desk.opened(code))
    return page(request, "letter.html.j2", code=code, letter=known)


@router.get("/letter/remarks", response_class=HTMLResponse)
def remarks(request: Request, code: Code) -> HTMLResponse:
    """Return the remarks as they stand now."""
    desk = desk_of(request)
    known = letters.letter_page(desk.season, desk.opened(code))
    return page(request, "_letter_remarks.html.j2", code=code, letter=known)


@router.get("/letter/counts")
def counts(request: Request, code: Code) -> dict[str, Any]:
    """Return how long the letter is and what it still lacks."""
    desk = desk_of(request)
    return letters.letter_counts(desk.season, desk.opened(code))


@router.get("/letter/preview", response_class=HTMLResponse)
def preview(request: Request, code: Code) -> HTMLResponse:
    """Return the letter itself."""
    desk = desk_of(request)
    text = letters.preview(desk.season, desk.opened(code))
    return HTMLResponse(text, headers={"content-security-policy": PREVIEW_POLICY})


@router.get("/letter/files/{name}")
def file(request: Request, code: Code, name: FileName) -> Response:
    """Return one file of the letter, to be kept."""
    desk = desk_of(request)
    data = letters.letter_file(desk.season, desk.opened(code), name)
    kept = {"content-disposition": f'attachment; filename="{code}.{name}"'}
    return Response(data, media_type=KINDS[name.rpartition(".")[2]], headers=kept)


@router.put("/letter/order")
def order(request: Request, code: Code, ordered: Ordered) -> dict[str, Any]:
    """Put the remarks in another order."""
    letters.order(desk_of(request).season, code, ordered.ids)
    return {"ids": ordered.ids}


@router.put("/state")
def state(request: Request, code: Code, state: State) -> dict[str, Any]:
    """Say how far the letter is."""
    letters.set_state(desk_of(request).season, code, state.state)
    return {"state": str(state.state)}
