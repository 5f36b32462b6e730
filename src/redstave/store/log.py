"""What was done and must stay known; nothing here says who wrote an entry."""

from sqlalchemy import Connection, insert, select

from redstave.model.season import LogLine
from redstave.store import tables as t
from redstave.store.season import Season


def log(
    season: Season,
    db: Connection,
    what: str,
    detail: str = "",
    entry: int | None = None,
    by: str = "",
) -> None:
    """Write a line into the log, in the running transaction."""
    db.execute(
        insert(t.log_line).values(what=what, detail=detail, entry_id=entry, at=season.now(), by=by)
    )


def read_log(season: Season, code: str = "") -> tuple[LogLine, ...]:
    """Return the log, of one entry or all of it, in the order it was written."""
    query = (
        select(t.log_line, t.entry.c.code)
        .outerjoin(t.entry, t.entry.c.id == t.log_line.c.entry_id)
        .order_by(t.log_line.c.id)
    )
    if code:
        query = query.where(t.entry.c.code == code)
    with season.reading() as db:
        return tuple(
            LogLine(row.at, row.by, row.code or "", row.what, row.detail)
            for row in db.execute(query)
        )
