"""Grades: every change stays, and what is changed after locking goes into the log."""

from sqlalchemy import Connection, delete, func, insert, select

from redstave.base.errors import StaleError
from redstave.model.grade import Grade, GradeSheet
from redstave.store import tables as t
from redstave.store.entries import entry_id, read_criteria
from redstave.store.log import log
from redstave.store.season import Season


def give_grade(
    season: Season, code: str, grade: Grade, revision: int, by: str = "", reason: str = ""
) -> int:
    """Give points on a criterion over the revision that was seen (0: none); return the new one.

    StaleError where it was changed since. On a locked sheet the change is logged with its reason.
    """
    return _write(season, code, grade, grade.points, revision, by, reason)


def take_grade_back(
    season: Season, code: str, criterion: str, revision: int, by: str = "", reason: str = ""
) -> int:
    """Leave a criterion without points again; as `give_grade`."""
    return _write(season, code, Grade(criterion, 0.0), None, revision, by, reason)


def read_sheet(season: Season, code: str) -> GradeSheet:
    """Return the grades of an entry under the season's criteria."""
    criteria = read_criteria(season)
    known = {one.key for one in criteria.criteria}
    with season.reading() as db:
        of = entry_id(season, db, code)
        query = select(t.grade).where(t.grade.c.entry_id == of).order_by(t.grade.c.revision)
        newest = {row.criterion: row for row in db.execute(query)}
        locked = _locked(db, of)
    grades = tuple(
        Grade(row.criterion, row.points, row.note)
        for key in (one.key for one in criteria.criteria)
        if (row := newest.get(key)) is not None and row.points is not None and key in known
    )
    return GradeSheet(criteria, grades, locked)


def grade_revisions(season: Season, code: str) -> dict[str, int]:
    """Return the number of the newest revision of each criterion that was ever graded."""
    with season.reading() as db:
        of = entry_id(season, db, code)
        query = select(t.grade.c.criterion, func.max(t.grade.c.revision))
        rows = db.execute(query.where(t.grade.c.entry_id == of).group_by(t.grade.c.criterion))
        return {row[0]: row[1] for row in rows}


def graded_at(season: Season) -> dict[str, str]:
    """Return for each entry when the last of its criteria was first given points."""
    with season.reading() as db:
        first = (
            select(t.entry.c.code, t.grade.c.criterion, func.min(t.grade.c.at).label("at"))
            .join(t.entry, t.entry.c.id == t.grade.c.entry_id)
            .where(t.grade.c.points.is_not(None))
            .group_by(t.entry.c.code, t.grade.c.criterion)
        )
        found: dict[str, str] = {}
        for row in db.execute(first):
            found[row.code] = max(row.at, found.get(row.code, ""))
        return found


def lock_grades(season: Season, code: str, by: str = "") -> None:
    """Lock the grades of an entry: from now on every change is logged."""
    with season.writing() as db:
        of = entry_id(season, db, code)
        if not _locked(db, of):
            db.execute(insert(t.sheet).values(entry_id=of, locked_at=season.now()))
            log(season, db, "grades locked", entry=of, by=by)


def unlock_grades(season: Season, code: str, by: str = "", reason: str = "") -> None:
    """Unlock the grades of an entry; the log says so."""
    with season.writing() as db:
        of = entry_id(season, db, code)
        if _locked(db, of):
            db.execute(delete(t.sheet).where(t.sheet.c.entry_id == of))
            log(season, db, "grades unlocked", reason, of, by)


def _write(
    season: Season,
    code: str,
    grade: Grade,
    points: float | None,
    revision: int,
    by: str,
    reason: str,
) -> int:
    with season.writing() as db:
        of = entry_id(season, db, code)
        query = select(t.grade).where(
            t.grade.c.entry_id == of, t.grade.c.criterion == grade.criterion
        )
        last = db.execute(query.order_by(t.grade.c.revision.desc()).limit(1)).first()
        newest, before = (last.revision, last.points) if last else (0, None)
        if newest != revision:
            raise StaleError(
                code, f"grade on {grade.criterion}", f"{_said(points)} {grade.note}".strip(),
                f"{_said(before)} {last.note if last else ''}".strip(), newest,
            )  # fmt: skip
        db.execute(
            insert(t.grade).values(
                entry_id=of,
                criterion=grade.criterion,
                revision=newest + 1,
                points=points,
                note=grade.note,
                at=season.now(),
                by=by,
            )
        )
        if _locked(db, of):
            what = f"{grade.criterion}: {_said(before)} to {_said(points)}"
            log(season, db, "grade changed after locking", f"{what}; {reason}".rstrip("; "), of, by)
        return newest + 1


def _locked(db: Connection, of: int) -> bool:
    return (
        db.execute(select(t.sheet.c.locked_at).where(t.sheet.c.entry_id == of)).first() is not None
    )


def _said(points: float | None) -> str:
    return "none" if points is None else f"{points:g}"
