"""Remarks: every revision stays; a change says which revision it was made from."""

from collections.abc import Sequence
from dataclasses import replace
from secrets import token_hex
from typing import Any

from sqlalchemy import Connection, Row, Select, func, insert, select, update

from redstave.base.errors import InputError, StaleError
from redstave.model.remark import Remark
from redstave.model.season import KeptRemark
from redstave.store import tables as t
from redstave.store.codec import from_text, to_text
from redstave.store.entries import entry_id
from redstave.store.season import Season


def add_remark(season: Season, code: str, remark: Remark, by: str = "") -> Remark:
    """Add a remark to an entry, after those that are there, and return it with id and order."""
    with season.writing() as db:
        of = entry_id(season, db, code)
        last = db.execute(select(func.max(t.remark.c.position)).where(t.remark.c.entry_id == of))
        made = replace(
            remark, id=remark.id or token_hex(5), order=(last.scalar() or 0) + 1, revision=1
        )
        db.execute(
            insert(t.remark).values(id=made.id, entry_id=of, revision=1, position=made.order)
        )
        _add_revision(season, db, made, by)
        return made


def revise_remark(
    season: Season, code: str, remark: Remark, by: str = "", withdrawn: bool = False
) -> Remark:
    """Add a revision to a remark; `remark.revision` is the one it was made from.

    StaleError where that is no longer the newest: both texts are kept. Its order is left alone.
    """
    with season.writing() as db:
        now = read_remark(season, code, remark.id).remark
        moved = db.execute(
            update(t.remark)
            .where(t.remark.c.id == remark.id, t.remark.c.revision == remark.revision)
            .values(revision=remark.revision + 1)
        )
        if not moved.rowcount:
            raise StaleError(code, f"remark {remark.id}", words(remark), words(now), now.revision)
        made = replace(remark, revision=remark.revision + 1, order=now.order)
        _add_revision(season, db, made, by, withdrawn)
        return made


def withdraw_remark(season: Season, code: str, remark: str, revision: int, by: str = "") -> Remark:
    """Take a remark out of the letter; it stays in the season and `revise_remark` brings it back.

    StaleError where it was changed since `revision`.
    """
    with season.writing():
        read = read_remark(season, code, remark).remark
        return revise_remark(season, code, replace(read, revision=revision), by, withdrawn=True)


def order_remarks(season: Season, code: str, remarks: Sequence[str]) -> None:
    """Put remarks (ids) of an entry in this order; others follow as they were."""
    with season.writing() as db:
        of = entry_id(season, db, code)
        query = select(t.remark.c.id).where(t.remark.c.entry_id == of)
        known = db.execute(query.order_by(t.remark.c.position)).scalars().all()
        for one in remarks:
            if one not in known:
                raise _unknown(code, one)
        rest = [one for one in known if one not in remarks]
        for position, one in enumerate([*dict.fromkeys(remarks), *rest], 1):
            db.execute(update(t.remark).where(t.remark.c.id == one).values(position=position))


def read_remarks(season: Season, code: str, withdrawn: bool = False) -> tuple[KeptRemark, ...]:
    """Return the newest revision of each remark of an entry, in their order."""
    with season.reading() as db:
        query = _newest().where(t.remark.c.entry_id == entry_id(season, db, code))
        rows = db.execute(query.order_by(t.remark.c.position, t.remark.c.id)).all()
    return tuple(_kept(row) for row in rows if withdrawn or not row.withdrawn)


def read_remark(season: Season, code: str, remark: str) -> KeptRemark:
    """Return the newest revision of one remark; InputError where the entry has no such remark."""
    with season.reading() as db:
        of = entry_id(season, db, code)
        query = _newest().where(t.remark.c.entry_id == of, t.remark.c.id == remark)
        row = db.execute(query).first()
    if row is None:
        raise _unknown(code, remark)
    return _kept(row)


def remark_history(season: Season, code: str, remark: str) -> tuple[KeptRemark, ...]:
    """Return every revision of a remark, oldest first."""
    read_remark(season, code, remark)
    query = (
        select(t.remark_revision, t.remark.c.position)
        .join(t.remark, t.remark.c.id == t.remark_revision.c.remark_id)
        .where(t.remark.c.id == remark)
    )
    with season.reading() as db:
        rows = db.execute(query.order_by(t.remark_revision.c.revision)).all()
    return tuple(_kept(row) for row in rows)


def words(remark: Remark) -> str:
    """Return all that a teacher has typed into a remark."""
    return "\n\n".join(filter(None, (remark.text, remark.why, remark.way_out)))


def _newest() -> Select[Any]:
    return select(t.remark_revision, t.remark.c.position).join(
        t.remark,
        (t.remark.c.id == t.remark_revision.c.remark_id)
        & (t.remark.c.revision == t.remark_revision.c.revision),
    )


def _add_revision(
    season: Season, db: Connection, remark: Remark, by: str, withdrawn: bool = False
) -> None:
    db.execute(
        insert(t.remark_revision).values(
            remark_id=remark.id,
            revision=remark.revision,
            kind=str(remark.kind),
            weight=str(remark.weight),
            criterion=remark.criterion,
            slug=remark.slug,
            finding=remark.finding,
            body=to_text(remark),
            withdrawn=withdrawn,
            at=season.now(),
            by=by,
        )
    )


def _kept(row: Row[Any]) -> KeptRemark:
    remark = replace(from_text(Remark, row.body), order=row.position)
    return KeptRemark(remark, row.at, row.by, row.withdrawn)


def _unknown(code: str, remark: str) -> InputError:
    return InputError(
        f'entry {code} has no remark "{remark}"; "redstave remark list" shows those it has'
    )
