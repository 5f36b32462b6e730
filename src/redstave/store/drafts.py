"""Texts as they are typed, saved at each pause; a save says which revision it was typed over."""

from datetime import datetime, timedelta
from typing import Any

from sqlalchemy import Connection, Row, insert, select, update
from sqlalchemy.exc import IntegrityError

from redstave.base.errors import StaleError
from redstave.model.season import Draft, SetAside
from redstave.store import tables as t
from redstave.store.entries import entry_id
from redstave.store.season import Season

APART = timedelta(minutes=1)  # earlier texts are kept so far apart …
CUT = 2 / 3  # … and whenever a save leaves less than this share of one


def save_draft(season: Season, code: str, field: str, text: str, revision: int) -> Draft:
    """Save a text over the revision it was typed from (0: there was none) and return it.

    On disk when this returns. StaleError where another save came between: both texts are kept.
    Saving what stands there already changes nothing, so that a save can be repeated.
    """
    with season.writing() as db:
        of = entry_id(season, db, code)
        now = _draft(db, of, field)
        if now.text == text and now.revision:
            return now
        if now.revision != revision or not _moved(season, db, of, Draft(field, text, revision)):
            raise StaleError(code, field, text, now.text, now.revision)
        _keep_earlier(season, db, of, now, text)
        return _draft(db, of, field)


def read_draft(season: Season, code: str, field: str) -> Draft:
    """Return a text as last saved; revision 0 and no text where there is none."""
    with season.reading() as db:
        return _draft(db, entry_id(season, db, code), field)


def read_drafts(season: Season, code: str) -> tuple[Draft, ...]:
    """Return all texts saved for an entry, by field."""
    with season.reading() as db:
        query = select(t.draft).where(t.draft.c.entry_id == entry_id(season, db, code))
        return tuple(_of(row) for row in db.execute(query.order_by(t.draft.c.field)))


def earlier_drafts(season: Season, code: str, field: str) -> tuple[Draft, ...]:
    """Return earlier texts of a field, oldest first: one a minute, and each that was cut down."""
    with season.reading() as db:
        query = select(t.draft_past).where(
            t.draft_past.c.entry_id == entry_id(season, db, code), t.draft_past.c.field == field
        )
        return tuple(_of(row) for row in db.execute(query.order_by(t.draft_past.c.id)))


def texts_set_aside(season: Season, code: str) -> tuple[SetAside, ...]:
    """Return the texts of an entry that were refused and wait to be read."""
    with season.reading() as db:
        query = select(t.set_aside).where(
            t.set_aside.c.entry_id == entry_id(season, db, code), ~t.set_aside.c.done
        )
        return tuple(
            SetAside(row.id, code, row.field, row.text, row.revision, row.at)
            for row in db.execute(query.order_by(t.set_aside.c.id))
        )


def done_with_set_aside(season: Season, code: str, number: int) -> None:
    """Say that a refused text was read; it is shown no more, and still kept."""
    with season.writing() as db:
        of = entry_id(season, db, code)
        db.execute(
            update(t.set_aside)
            .where(t.set_aside.c.id == number, t.set_aside.c.entry_id == of)
            .values(done=True)
        )


def _draft(db: Connection, of: int, field: str) -> Draft:
    query = select(t.draft).where(t.draft.c.entry_id == of, t.draft.c.field == field)
    row = db.execute(query).first()
    return _of(row) if row else Draft(field)


def _moved(season: Season, db: Connection, of: int, draft: Draft) -> bool:
    """Write a text where the revision is still the one it was typed over."""
    new = {"text": draft.text, "revision": draft.revision + 1, "at": season.now()}
    if draft.revision == 0:
        try:
            with db.begin_nested():
                db.execute(insert(t.draft).values(entry_id=of, field=draft.field, **new))
        except IntegrityError:
            return False
        return True
    moved = db.execute(
        update(t.draft)
        .where(
            t.draft.c.entry_id == of,
            t.draft.c.field == draft.field,
            t.draft.c.revision == draft.revision,
        )
        .values(**new)
    )
    return bool(moved.rowcount)


def _keep_earlier(season: Season, db: Connection, of: int, before: Draft, text: str) -> None:
    if not before.text:
        return
    query = select(t.draft_past.c.at).where(
        t.draft_past.c.entry_id == of, t.draft_past.c.field == before.field
    )
    last = db.execute(query.order_by(t.draft_past.c.id.desc()).limit(1)).scalar()
    cut = len(text) < CUT * len(before.text)
    if cut or last is None or _time(season.now()) - _time(last) >= APART:
        db.execute(insert(t.draft_past).values(entry_id=of, **before._asdict()))


def _time(text: str) -> datetime:
    return datetime.fromisoformat(text)


def _of(row: Row[Any]) -> Draft:
    return Draft(row.field, row.text, row.revision, row.at)
