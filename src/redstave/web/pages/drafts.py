"""Texts as they are typed: every pause saves, and no save overwrites what it has not read."""

from typing import Annotated, Any

from fastapi import APIRouter, Request
from pydantic import BaseModel
from pydantic import Field as Limits

from redstave.app import desk as work
from redstave.web.asked import Code, Field, desk_of

router = APIRouter(prefix="/entries/{code}/drafts")
MOST_LETTERS = 60_000

Json = dict[str, Any]


class Typed(BaseModel):
    """A text and the revision it was typed over; 0 where there was none."""

    text: Annotated[str, Limits(max_length=MOST_LETTERS)]
    revision: Annotated[int, Limits(ge=0, le=2**31, strict=True)]


@router.get("")
def drafts(request: Request, code: Code) -> list[Json]:
    """Return all texts of an entry as they were last typed."""
    return [one._asdict() for one in work.read_drafts(desk_of(request).season, code)]


@router.get("/{field}")
def draft(request: Request, code: Code, field: Field) -> Json:
    """Return one text as it was last typed; revision 0 where nothing was."""
    return work.read_draft(desk_of(request).season, code, field)._asdict()


@router.put("/{field}")
def save(request: Request, code: Code, field: Field, typed: Typed) -> Json:
    """Save a text; it is on disk when this answers. 409 with both texts where it is out of date."""
    season = desk_of(request).season
    return work.save_draft(season, code, field, typed.text, typed.revision)._asdict()
