"""What the page of grades shows: each criterion with its bands, its points and its evidence."""

from typing import Any

from redstave import store
from redstave.app import grading
from redstave.app.desk.margin import CLAIMS, KINDS
from redstave.app.desk.opened import Opened
from redstave.base.errors import InputError
from redstave.model.finding import Claim
from redstave.model.grade import Criterion, GradeSheet
from redstave.model.remark import RemarkKind
from redstave.render.band_scale import band_scale
from redstave.render.critique_view import CriterionView
from redstave.store import Season

Json = dict[str, Any]
GRADE_WORDS = ("grade", "locked", "unlocked")  # what in a log speaks of grades


def grades_page(season: Season, opened: Opened) -> Json:
    """Return the grades of an entry with the evidence for each and the log of later changes."""
    page: Json = grading.grades_json(season, opened.code, opened.review, opened.analysis.score)
    sheet = store.read_sheet(season, opened.code)
    taken = {key for key, one in store.decisions(season, opened.code).items() if one.remark}
    whole = sum(one.weight for one in sheet.criteria.criteria)
    for row, criterion in zip(page["grades"], sheet.criteria.criteria, strict=True):
        row["share"] = round(100 * criterion.weight / whole)
        row["bands"] = _bands(criterion)
        row["scale"] = scale_of(criterion, row["points"])
        for one in row["evidence"]:
            one["called"], one["sign"] = CLAIMS[Claim(one["kind"])]
            one["taken"] = one["key"] in taken
        for one in row["remarks"]:
            one["called"], one["sign"] = KINDS[RemarkKind(one["kind"])]
    lines = store.read_log(season, opened.code)
    return page | {
        "log": [one for one in lines if any(word in one.what for word in GRADE_WORDS)],
        "missing": missing(sheet),
    }


def _bands(criterion: Criterion) -> list[Json]:
    """Return the bands, the highest first, each with the points that reach it as a range."""
    bands = sorted(criterion.bands, key=lambda one: -one.at_least)
    tops = [criterion.points, *(one.at_least for one in bands)]
    return [
        one._asdict() | {"top": top, "is_top": top == criterion.points}
        for one, top in zip(bands, tops, strict=False)
    ]


def scale_of(criterion: Criterion, points: float | None) -> str:
    """Draw the bands of a criterion with the points that were given, "" where none were."""
    steps = tuple((one.name, one.at_least) for one in criterion.bands)
    view = CriterionView(criterion.name, "", points, criterion.points, 0.0, "", "", (), steps)
    return band_scale(view)


def missing(sheet: GradeSheet) -> list[str]:
    """Return the names of the criteria that wait for points."""
    given = {one.criterion for one in sheet.grades}
    return [one.name for one in sheet.criteria.criteria if one.key not in given]


def give(
    season: Season,
    code: str,
    key: str,
    points: float | None,
    note: str,
    revision: int,
    reason: str = "",
) -> Json:
    """Give points on a criterion over the revision that was seen; return what changes on the page.

    StaleError where another tab was first; InputError where the grades are locked and no reason is
    given.
    """
    if store.read_sheet(season, code).locked and not reason.strip():
        raise InputError("these grades are locked; say why they change, it goes into the log")
    new = grading.give(season, code, key, points, note, revision, reason=reason)
    sheet = store.read_sheet(season, code)
    criterion = next(one for one in sheet.criteria.criteria if one.key == key)
    band = criterion.band(points) if points is not None else None
    return {
        "revision": new,
        "band": band.name if band else "",
        "scale": scale_of(criterion, points),
        "total": sheet.total if sheet.total is None else round(sheet.total, 1),
        "missing": missing(sheet),
    }


def lock(season: Season, code: str) -> None:
    """Lock the grades; InputError where some are missing."""
    waiting = missing(store.read_sheet(season, code))
    if waiting:
        raise InputError(f"grades can be locked once all are given; {', '.join(waiting)} wait")
    grading.lock(season, code)


def unlock(season: Season, code: str, reason: str) -> None:
    """Unlock the grades; the log says so and why."""
    if not reason.strip():
        raise InputError("say why the grades are unlocked; it goes into the log")
    store.unlock_grades(season, code, reason=reason.strip())
