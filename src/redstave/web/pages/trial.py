"""Trial: another level, other players, another octave … heard before and after."""

from typing import Annotated, Any

from fastapi import APIRouter, Query, Request
from fastapi.responses import HTMLResponse
from pydantic import BaseModel, TypeAdapter, ValidationError
from pydantic import Field as Limits

from redstave.app.desk.trial_page import trial_page
from redstave.app.desk.tried_remark import remark_of_trial, trial_beside
from redstave.app.desk.tryout import heard_now, try_out, ways_for
from redstave.app.requests import Request as Wish
from redstave.base.errors import InputError
from redstave.model.remark import RemarkKind
from redstave.web.asked import KEY, Code, desk_of
from redstave.web.paper import page

router = APIRouter(prefix="/entries/{code}/trial")
MOST_WISHES = 12

Who = Annotated[str, Limits(max_length=1000)]
Bars = Annotated[str, Query(max_length=40)]
BarIndex = Annotated[int, Query(ge=0, le=100_000)]
Json = Annotated[str, Query(max_length=8000)]


class Asked(BaseModel):
    """One wish, as `redstave.app.requests.Request` has it; `as` is another instrument."""

    who: Who = ""
    bars: Annotated[str, Limits(max_length=40)] = ""
    level: Annotated[str, Limits(max_length=8)] = ""
    players: Annotated[int, Limits(ge=1, le=100)] | None = None
    octave: Annotated[int, Limits(ge=-4, le=4)] = 0
    as_: Annotated[str, Limits(alias="as", max_length=200)] = ""
    technique: Annotated[str, Limits(max_length=40)] = ""
    without: bool = False

    def wish(self) -> Wish:
        """Return it as the app takes it."""
        return Wish(**self.model_dump())


Wishes = Annotated[list[Asked], Limits(max_length=MOST_WISHES)]
_READ = TypeAdapter(Wishes)


class Made(BaseModel):
    """A trial to become a remark, or to stand beside one that is there (its id)."""

    wishes: Annotated[list[Asked], Limits(min_length=1, max_length=MOST_WISHES)]
    kind: RemarkKind = RemarkKind.WAY_OUT
    text: Annotated[str, Limits(max_length=60_000)] = ""
    remark: Annotated[str, Limits(pattern=r"^$|" + KEY)] = ""


@router.get("", response_class=HTMLResponse)
def trial(
    request: Request,
    code: Code,
    bar: BarIndex = 0,
    last: BarIndex | None = None,
    who: Annotated[str, Query(max_length=1000)] = "",
    part: Annotated[str, Query(max_length=200)] = "",
    help: Annotated[bool, Query()] = False,  # noqa: A002 - the word in the address
) -> HTMLResponse:
    """Return the page on which changes are tried, at some bars."""
    desk = desk_of(request)
    opened = desk.opened(code)
    known = trial_page(desk.season, opened, bar, bar if last is None else last, who, part)
    return page(request, "trial.html.j2", code=code, trial=known, helps=help)


@router.get("/heard", response_class=HTMLResponse)
def heard(request: Request, code: Code, bars: Bars, wishes: Json = "[]") -> HTMLResponse:
    """Return what is heard before and after; without a wish, what is heard now."""
    opened = desk_of(request).opened(code)
    asked = _wishes(wishes)
    tried = try_out(opened, asked, bars) if asked else heard_now(opened, bars)
    return page(request, "_tried.html.j2", tried=tried)


@router.get("/ways", response_class=HTMLResponse)
def ways(
    request: Request, code: Code, bars: Bars, who: Annotated[str, Query(max_length=1000)]
) -> HTMLResponse:
    """Return the smallest changes that bring a line to be heard."""
    found = ways_for(desk_of(request).opened(code), who, bars)
    return page(request, "_ways.html.j2", ways=found, who=who)


@router.post("/remark", status_code=201)
def remark(request: Request, code: Code, made: Made) -> dict[str, Any]:
    """Turn a trial into a remark, or put it beside one."""
    desk = desk_of(request)
    opened = desk.opened(code)
    wishes = [one.wish() for one in made.wishes]
    if made.remark:
        kept = trial_beside(desk.season, opened, made.remark, wishes)
    else:
        kept = remark_of_trial(desk.season, opened, wishes, made.kind, made.text)
    return {"id": kept.id, "place": kept.place}


def _wishes(text: str) -> list[Wish]:
    try:
        return [one.wish() for one in _READ.validate_json(text)]
    except ValidationError as error:
        raise InputError(f"the changes cannot be understood: {error.errors()[0]['msg']}") from None
