"""What the teacher has changed for a season: thresholds moved, checks turned on or off."""

from sqlalchemy import delete, insert, select

from redstave.store import tables as t
from redstave.store.log import log
from redstave.store.season import Season


def thresholds(season: Season) -> dict[str, dict[str, float]]:
    """Return the thresholds that were moved, by slug and name."""
    found: dict[str, dict[str, float]] = {}
    with season.reading() as db:
        query = select(t.threshold).order_by(t.threshold.c.slug, t.threshold.c.name)
        for row in db.execute(query):
            found.setdefault(row.slug, {})[row.name] = row.value
    return found


def move_threshold(season: Season, slug: str, name: str, value: float | None) -> None:
    """Move a threshold of a check for this season; None puts it back. The log says so."""
    with season.writing() as db:
        where = (t.threshold.c.slug == slug, t.threshold.c.name == name)
        before = db.execute(select(t.threshold.c.value).where(*where)).scalar()
        db.execute(delete(t.threshold).where(*where))
        if value is not None:
            db.execute(insert(t.threshold).values(slug=slug, name=name, value=value))
        log(season, db, "threshold moved", f"{slug} {name}: {_word(before)} to {_word(value)}")


def switches(season: Season) -> dict[str, bool]:
    """Return the checks that were turned on or off, by slug."""
    with season.reading() as db:
        return {row.slug: row.is_on for row in db.execute(select(t.switched))}


def switch_check(season: Season, slug: str, is_on: bool | None) -> None:
    """Turn a check on or off for this season; None leaves it to the catalogue. The log says so."""
    with season.writing() as db:
        db.execute(delete(t.switched).where(t.switched.c.slug == slug))
        if is_on is not None:
            db.execute(insert(t.switched).values(slug=slug, is_on=is_on))
        said = {True: "on", False: "off", None: "as in the catalogue"}[is_on]
        log(season, db, "check switched", f"{slug}: {said}")


def _word(value: float | None) -> str:
    return "default" if value is None else f"{value:g}"
