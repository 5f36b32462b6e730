"""The page of lessons: what most entries share, and the hard places of the piece, in words."""

from typing import Any

from redstave.app.bar_names import BarNames
from redstave.app.desk.margin import CLAIMS
from redstave.app.desk.season_page import family_name
from redstave.app.kept_entry import original_of
from redstave.app.lessons import HardPlace, Met, Shared, lessons, printed
from redstave.checks import catalogue
from redstave.model.finding import Claim
from redstave.render.outcomes import title_of
from redstave.store import Season

Json = dict[str, Any]

NUMBERS = 24  # at most under the picture
SHOWN = 4  # bars of both pages at once


def lessons_page(season: Season) -> Json:
    """Return what the page shows; `missed` has a row for every bar of the piece that is known."""
    found = lessons(season)
    rows = [_shared(row) for row in found.shared]
    piece = original_of(season)
    names = BarNames(piece, "the piano piece").all if piece else ()
    every = -(-len(found.missed) // NUMBERS) or 1
    return {
        "computed": found.computed,
        "placed": found.placed,
        "places": [_place(place, names) for place in found.places],
        "missed": [
            {"bar": names[at], "many": many, "told": at % every == 0}
            for at, many in enumerate(found.missed)
        ],
        "most": max(found.missed, default=0),
        "faults": [row for row in rows if row["claim"] is not Claim.CREDIT],
        "earned": [row for row in rows if row["claim"] is Claim.CREDIT],
    }


def _shared(row: Shared) -> Json:
    return _told(row.slug, row.claim, row.met)


def _place(place: HardPlace, names: tuple[str, ...]) -> Json:
    bars = printed(place, names)
    words = f"bar {bars}" if place.first == place.last else f"bars {bars}"
    more = min(place.last - place.first, SHOWN - 1)
    there = [
        {"met": met, "first": at, "last": at + more}
        for met, at in zip(place.met, place.there, strict=True)
    ]
    return _told(place.slug, place.claim, place.met) | {"bars": words, "there": there}


def _told(slug: str, claim: Claim, met: tuple[Met, ...]) -> Json:
    return {
        "slug": slug,
        "name": title_of(slug),
        "family": family_name(catalogue()[slug].family),
        "claim": claim,
        "called": CLAIMS[claim][0],
        "sign": CLAIMS[claim][1],
        "places": met,
        "many": sum(one.many for one in met),
    }
