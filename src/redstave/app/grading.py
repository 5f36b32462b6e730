"""Grades with the evidence beside them."""

from collections.abc import Iterator

from redstave import store
from redstave.base.errors import InputError
from redstave.checks import catalogue
from redstave.model.finding import Claim, Finding
from redstave.model.grade import Criterion, Grade, GradeSheet
from redstave.model.remark import Decision, finding_key
from redstave.model.review import Review
from redstave.model.score import Score
from redstave.model.season import KeptRemark
from redstave.render.wording import kept_words, sentence
from redstave.store import Season

Json = dict[str, object]


def give(
    season: Season,
    code: str,
    criterion: str,
    points: float | None,
    note: str = "",
    revision: int | None = None,
    by: str = "",
    reason: str = "",
) -> int:
    """Give points on a criterion (None takes them back) and return the revision they are.

    `revision` is the one that was seen, so that another's grade is not overwritten; None is the
    newest. On locked grades the change is logged and needs a reason.
    """
    wanted = _criterion(season, criterion)
    if points is not None and not 0 <= points <= wanted.points:
        raise InputError(
            f"{points:g} points on {wanted.name} cannot be given; write 0 to {wanted.points:g}"
        )
    if store.read_sheet(season, code).locked and not reason.strip():
        raise InputError(
            f"the grades of {code} are locked; give a reason (--reason), which goes into the log"
        )
    if revision is None:
        revision = store.grade_revisions(season, code).get(criterion, 0)
    if points is None:
        return store.take_grade_back(season, code, criterion, revision, by, reason)
    return store.give_grade(season, code, Grade(criterion, points, note), revision, by, reason)


def lock(season: Season, code: str, by: str = "") -> None:
    """Lock the grades of an entry; InputError where one is missing."""
    sheet = store.read_sheet(season, code)
    given = {one.criterion for one in sheet.grades}
    missing = [one.name for one in sheet.criteria.criteria if one.key not in given]
    if missing:
        raise InputError(
            f"the grades of {code} are not complete: {', '.join(missing)} wait for points"
        )
    store.lock_grades(season, code, by)


def grades_json(season: Season, code: str, review: Review | None, score: Score | None) -> Json:
    """Return the grades of an entry with the evidence for each; see docs/json.md.

    Without a review and its score the evidence is that of the remarks alone.
    """
    sheet = store.read_sheet(season, code)
    revisions = store.grade_revisions(season, code)
    remarks = store.read_remarks(season, code)
    dismissed = {
        key
        for key, one in store.decisions(season, code).items()
        if one.decision is Decision.DISMISSED
    }
    rows = [
        {
            **_row(one, sheet, revisions.get(one.key, 0)),
            "remarks": [_remark(kept) for kept in remarks if kept.remark.criterion == one.key],
            "evidence": list(_evidence(one, review, score, dismissed)) if review and score else [],
        }
        for one in sheet.criteria.criteria
    ]
    return {
        "code": code,
        "criteria": sheet.criteria.name,
        "grades": rows,
        "total": None if sheet.total is None else round(sheet.total, 2),
        "locked": sheet.locked,
    }


def _row(criterion: Criterion, sheet: GradeSheet, revision: int) -> Json:
    given = {one.criterion: one for one in sheet.grades}.get(criterion.key)
    band = criterion.band(given.points) if given else None
    return {
        "key": criterion.key,
        "name": criterion.name,
        "descriptor": criterion.descriptor,
        "weight": criterion.weight,
        "of": criterion.points,
        "bands": [one._asdict() for one in criterion.bands],
        "points": given.points if given else None,
        "band": band.name if band else "",
        "note": given.note if given else "",
        "revision": revision,
    }


def _evidence(
    criterion: Criterion, review: Review, score: Score, dismissed: set[str]
) -> Iterator[Json]:
    """Yield the findings of the criterion's families, by consequence; credits come first."""
    for finding in (*review.credits, *review.by_consequence):
        check = catalogue().get(finding.slug)
        if check is None or not {check.slug, check.family} & set(criterion.families):
            continue
        yield {
            "key": finding_key(finding),
            "slug": finding.slug,
            "family": check.family,
            "kind": str(finding.claim or check.claim),
            "text": _text(finding, finding.claim or check.claim, score),
            "dismissed": finding_key(finding) in dismissed,
        }


def _text(finding: Finding, claim: Claim, score: Score) -> str:
    return sentence(kept_words(finding, score), claim)


def _remark(kept: KeptRemark) -> Json:
    one = kept.remark
    return {"id": one.id, "kind": str(one.kind), "place": one.place, "text": one.text}


def _criterion(season: Season, key: str) -> Criterion:
    criteria = store.read_criteria(season).criteria
    found = [one for one in criteria if one.key == key]
    if not found:
        raise InputError(
            f'there is no criterion "{key}" in this season; they are '
            f"{', '.join(one.key for one in criteria)}"
        )
    return found[0]
