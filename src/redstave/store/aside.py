"""Texts that were refused because they were typed over something older than the newest."""

from sqlalchemy import Connection, insert, select

from redstave.base.errors import StaleError
from redstave.store.tables import entry, set_aside


def keep_aside(connection: Connection, stale: StaleError, at: str) -> None:
    """Keep the text of a stale write, so that nothing typed is lost."""
    of = select(entry.c.id).where(entry.c.code == stale.code).scalar_subquery()
    connection.execute(
        insert(set_aside).values(
            entry_id=of,
            field=stale.field,
            text=stale.mine,
            revision=stale.revision,
            at=at,
            done=False,
        )
    )
