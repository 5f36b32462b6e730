"""Reading: the engraved score in systems, ribbons under the staves, notes in the margin."""

from collections.abc import Sequence
from typing import Annotated, Any

from fastapi import APIRouter, Query, Request
from fastapi.responses import HTMLResponse
from starlette.exceptions import HTTPException

from redstave.app import seasons
from redstave.app.desk import Opened, jumps, margin_notes, ribbons_of
from redstave.render.systems import Layout, Notes, Picture, Pitch, System
from redstave.web.asked import Code, Number, Word, Words, asked_layout, desk_of
from redstave.web.desk import Desk
from redstave.web.paper import page

router = APIRouter(prefix="/entries/{code}")
AT_ONCE = 1  # systems that come with the page itself: the first is seen the sooner
AHEAD = 6  # systems painted ahead of the reader
STAVE, EDGES = 1900, 2200  # page coordinates: what a stave and the edges of a system come to

Note = dict[str, Any]


@router.get("/reading", response_class=HTMLResponse)
def reading(
    request: Request,
    code: Code,
    pitch: Word = "",
    notes: Word = "",
    silent: Word = "",
    families: Words = "",
    bar: Annotated[int, Query(ge=0, le=100_000)] = 0,
) -> HTMLResponse:
    """Return the page on which an entry is read, its first systems drawn, from a bar on."""
    desk = desk_of(request)
    opened = desk.opened(code)
    layout = asked_layout(opened, pitch, notes, silent, families)
    systems = opened.systems(layout)
    first = next((one.number for one in systems if one.last >= bar), 0)
    margin = _margin(desk, opened, layout)
    drawn = {
        number: _system(desk, opened, layout, systems[number], margin)
        for number in range(first, min(first + AT_ONCE, len(systems)))
    }
    desk.painter.ahead(opened, _around(first, len(systems)), layout)
    return page(
        request,
        "reading.html.j2",
        opened=opened,
        layout=layout,
        systems=[_known(opened, one, layout) for one in systems],
        drawn=drawn,
        first=first,
        places=jumps(opened),
        parts=list(opened.part_names.items()),
        order=_order(margin, systems),
        pitches=list(Pitch),
        sizes=list(Notes),
        version=seasons.version_of(desk.season, code).number,
    )


@router.get("/systems/{number}", response_class=HTMLResponse)
def system(
    request: Request,
    code: Code,
    number: Number,
    pitch: Word = "",
    notes: Word = "",
    silent: Word = "",
    families: Words = "",
) -> HTMLResponse:
    """Return one system, painted now where it was not painted ahead, with its margin."""
    desk = desk_of(request)
    opened = desk.opened(code)
    layout = asked_layout(opened, pitch, notes, silent, families)
    systems = opened.systems(layout)
    if number >= len(systems):
        raise HTTPException(404)
    desk.painter.ahead(opened, range(number + 1, number + 1 + AHEAD), layout)
    shown = _system(desk, opened, layout, systems[number], _margin(desk, opened, layout))
    return page(request, "_system.html.j2", **shown)


def _around(first: int, count: int) -> Sequence[int]:
    """Return all systems, those after the reader first."""
    return [*range(first + AT_ONCE, count), *range(first - 1, -1, -1)]


def _known(opened: Opened, system: System, layout: Layout) -> dict[str, Any]:
    """Return what the page knows of a system before it is painted."""
    parts = opened.analysis.score.parts_by_id
    staves = sum(parts[part].staves for part in system.parts)
    return {
        "number": system.number,
        "first": system.first,
        "last": system.last,
        "bars": _bars(opened, system),
        "width": layout.width,
        "height": EDGES + STAVE * staves,
    }


def _bars(opened: Opened, system: System | Picture) -> str:
    first, last = opened.bar_name(system.first), opened.bar_name(system.last)
    return f"bar {first}" if first == last else f"bars {first} to {last}"


def _system(
    desk: Desk, opened: Opened, layout: Layout, system: System, margin: list[Note]
) -> dict[str, Any]:
    picture = desk.painter.picture(opened, system.number, layout)
    return {
        "code": opened.code,
        "picture": picture,
        "bars": _bars(opened, system),
        "ribbons": ribbons_of(opened, picture),
        "geometry": {"bars": picture.bars, "staves": picture.staves, "shift": picture.shift},
        "whole": [note | {"full": True} for note in margin if note["whole"] and not system.number],
        "notes": _beside(margin, system),
    }


def _margin(desk: Desk, opened: Opened, layout: Layout) -> list[Note]:
    """Return the notes of an entry; where some families are shown, those that concern them."""
    notes = margin_notes(desk.season, opened)
    if not layout.families:
        return notes
    shown = {part for part, family in opened.family.items() if family in layout.families} | {""}
    return [
        note
        for note in notes
        if note["whole"] or any(place["part"] in shown for place in note["places"])
    ]


def _order(margin: list[Note], systems: Sequence[System]) -> list[tuple[str, int, bool]]:
    """Return the name of every note in the order of reading, its bar, whether it is still open."""
    whole = [note for note in margin if note["whole"]]
    beside = [note for system in systems for note in _beside(margin, system) if note["full"]]
    return [
        (note["key"] or note["remark"]["id"], _begins(note), note.get("decision") == "open")
        for note in (*whole, *beside)
    ]


def _beside(margin: list[Note], system: System) -> list[Note]:
    """Return the notes of a system from its top stave down, those of the whole piece apart.

    A note stands in full beside the system in which it begins, and short beside every other one in
    which a further place of it begins.
    """
    order = {part: at for at, part in enumerate(system.parts, 1)} | {"": 0}
    found = []
    for note in margin:
        here = [
            place
            for place in note["places"]
            if system.first <= place["first"] <= system.last and not note["whole"]
        ]
        if here:
            height = min(order.get(place["part"], len(order)) for place in here)
            found.append((height, note | {"full": _begins(note) >= system.first}))
    return [note for _, note in sorted(found, key=lambda one: one[0])]


def _begins(note: Note) -> int:
    return min((place["first"] for place in note["places"]), default=0)
