"""What the teacher does in the margin; each answer is the note as it stands now."""

from typing import Annotated, Any

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse
from pydantic import BaseModel
from pydantic import Field as Limits

from redstave.app import desk as work
from redstave.app.desk import Opened, Place, Rewording, margin_notes
from redstave.base.errors import InputError
from redstave.model.remark import RemarkKind, Weight
from redstave.web.asked import Code, Key, desk_of
from redstave.web.paper import filled, page

router = APIRouter(prefix="/entries/{code}")
MOST_LETTERS, MOST_NOTES = 60_000, 400

Text = Annotated[str, Limits(max_length=MOST_LETTERS)]
Bar = Annotated[int, Limits(ge=0, le=100_000, strict=True)]
NoteId = Annotated[str, Limits(max_length=240)]
Revision = Annotated[int, Limits(ge=1, le=2**31, strict=True)]


class Accepted(BaseModel):
    """The teacher's own words for a finding, "" for ours."""

    text: Text = ""


class Dismissed(BaseModel):
    """Why a finding does not count."""

    reason: Annotated[str, Limits(max_length=2000)] = ""


class Joined(BaseModel):
    """The remark (id) that a finding is put into."""

    remark: Key


class Standing(BaseModel):
    """Where a remark stands: bars by index, part and stave, notes by id; no part: all."""

    first: Bar
    last: Bar
    part: Annotated[str, Limits(max_length=200)] = ""
    stave: Annotated[int, Limits(ge=1, le=100, strict=True)] = 1
    notes: Annotated[tuple[NoteId, ...], Limits(max_length=MOST_NOTES)] = ()


class Written(BaseModel):
    """An own remark; without a place it is on the whole piece."""

    kind: RemarkKind
    text: Text
    place: Standing | None = None


class Reworded(BaseModel):
    """What is to change of a remark, and the revision that was read."""

    revision: Revision
    text: Text | None = None
    why: Text | None = None
    way_out: Text | None = None
    kind: RemarkKind | None = None
    weight: Weight | None = None
    criterion: Annotated[str, Limits(max_length=200)] | None = None


class TakenBack(BaseModel):
    """The revision that was read."""

    revision: Revision


class Spent(BaseModel):
    """Time spent reading, in seconds."""

    seconds: Annotated[float, Limits(ge=0, le=600, allow_inf_nan=False, strict=True)]


@router.post("/findings/{key}/accept", response_class=HTMLResponse)
def accept(request: Request, code: Code, key: Key, said: Accepted) -> HTMLResponse:
    """Make a remark of a finding."""
    opened = desk_of(request).opened(code)
    work.accept(desk_of(request).season, opened, key, said.text.strip())
    return _note(request, opened, key)


@router.post("/findings/{key}/dismiss", response_class=HTMLResponse)
def dismiss(request: Request, code: Code, key: Key, said: Dismissed) -> HTMLResponse:
    """Dismiss a finding with a reason."""
    opened = desk_of(request).opened(code)
    work.dismiss(desk_of(request).season, opened, key, said.reason.strip())
    return _note(request, opened, key)


@router.post("/findings/{key}/join")
def join(request: Request, code: Code, key: Key, said: Joined) -> dict[str, str]:
    """Put a finding into a remark; answer with that remark, in full and short."""
    opened = desk_of(request).opened(code)
    made = work.join(desk_of(request).season, opened, key, said.remark)
    note = _found(request, opened, made.id)
    return {
        name: filled(request, "_note.html.j2", note=note | {"full": name == "full"})
        for name in ("full", "short")
    }


@router.post("/findings/{key}/reopen", response_class=HTMLResponse)
def reopen(request: Request, code: Code, key: Key) -> HTMLResponse:
    """Take the decision on a finding back."""
    opened = desk_of(request).opened(code)
    work.reopen(desk_of(request).season, opened, key)
    return _note(request, opened, key)


@router.post("/remarks", response_class=HTMLResponse, status_code=201)
def write(request: Request, code: Code, said: Written) -> HTMLResponse:
    """Write an own remark."""
    desk = desk_of(request)
    opened = desk.opened(code)
    place = Place(**said.place.model_dump()) if said.place else None
    made = work.write_remark(desk.season, opened, said.kind, said.text, place)
    return _note(request, opened, made.id, 201)


@router.put("/remarks/{key}", response_class=HTMLResponse)
def reword(request: Request, code: Code, key: Key, said: Reworded) -> HTMLResponse:
    """Change a remark; 409 with both texts where it was changed since it was read."""
    desk = desk_of(request)
    opened = desk.opened(code)
    rewording = Rewording(**said.model_dump(exclude={"revision"}))
    work.reword(desk.season, code, key, said.revision, rewording)
    return _note(request, opened, key)


@router.delete("/remarks/{key}")
def take_back(request: Request, code: Code, key: Key, said: TakenBack) -> dict[str, Any]:
    """Take an own remark out of the letter."""
    work.take_back(desk_of(request).season, code, key, said.revision)
    return {"gone": key}


@router.post("/spent")
def spent(request: Request, code: Code, said: Spent) -> dict[str, Any]:
    """Count time that was spent on an entry."""
    work.spent(desk_of(request).season, code, said.seconds)
    return {"seconds": said.seconds}


def _note(request: Request, opened: Opened, key: str, status: int = 200) -> HTMLResponse:
    """Return a finding (by its key) or a remark (by its id) as the margin shows it now."""
    note = _found(request, opened, key) | {"full": True}
    return page(request, "_note.html.j2", status, note=note)


def _found(request: Request, opened: Opened, key: str) -> dict[str, Any]:
    for note in margin_notes(desk_of(request).season, opened):
        if key in (note["key"], (note["remark"] or {}).get("id")):
            return note
    raise InputError(f"the entry has nothing called {key}")
