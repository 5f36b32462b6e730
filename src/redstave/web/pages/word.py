"""The teacher's word at the desk: said of some bars, taken back; 409 where it was changed."""

from typing import Annotated, Literal

from fastapi import APIRouter, Request
from pydantic import BaseModel
from pydantic import Field as Limits

from redstave.app.desk.word_page import say, take_back
from redstave.web.asked import Code, desk_of

router = APIRouter(prefix="/entries/{code}/word")


class Said(BaseModel):
    """One thing that is said or taken back, and the revision that was read."""

    kind: Literal["pins", "roles", "voices", "cuts"]
    text: Annotated[str, Limits(min_length=1, max_length=400)]
    revision: Annotated[int, Limits(ge=0, le=2**31, strict=True)]


@router.post("", status_code=201)
def add(request: Request, code: Code, said: Said) -> dict[str, int]:
    """Keep what the teacher knows better; the entry is heard and matched with it from then on."""
    desk = desk_of(request)
    told = say(desk.season, desk.opened(code), said.kind, said.text, said.revision)
    return {"revision": told.revision}


@router.delete("")
def remove(request: Request, code: Code, said: Said) -> dict[str, int]:
    """Take one thing back."""
    desk = desk_of(request)
    told = take_back(desk.season, desk.opened(code), said.kind, said.text, said.revision)
    return {"revision": told.revision}
