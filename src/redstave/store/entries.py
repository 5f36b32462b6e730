"""The season's own facts, its entries and their versions, and the names under seal."""

from collections import defaultdict
from typing import Any

from sqlalchemy import Connection, Row, Select, exists, func, insert, select, update

from redstave.base.errors import InputError
from redstave.model.grade import Criteria
from redstave.model.season import EntryFacts, SealedName, SeasonFacts, Stage, Version
from redstave.store import tables as t
from redstave.store.codec import from_text, to_text
from redstave.store.log import log
from redstave.store.season import Season

_FACTS = (
    "name", "teacher", "forces", "hall", "seat", "tail", "players", "original", "original_ending",
)  # fmt: skip


def write_facts(season: Season, facts: SeasonFacts, criteria: Criteria) -> None:
    """Write what a new season is; InputError where it was written before."""
    values = {name: getattr(facts, name) for name in _FACTS}
    with season.writing() as db:
        if db.execute(select(t.season.c.id)).first():
            raise InputError(f"{season.folder} holds a season already; choose another folder")
        db.execute(
            insert(t.season).values(
                id=1, criteria=to_text(criteria), created_at=season.now(), **values
            )
        )


def read_facts(season: Season) -> SeasonFacts:
    """Return what the season is."""
    row = _season_row(season)
    values = {name: getattr(row, name) for name in _FACTS}
    return SeasonFacts(**values, opened=bool(row.opened_at))


def read_criteria(season: Season) -> Criteria:
    """Return the criteria of the season."""
    return from_text(Criteria, _season_row(season).criteria)


def write_criteria(season: Season, criteria: Criteria) -> None:
    """Change the criteria of the season; the log keeps the old ones."""
    with season.writing() as db:
        old = db.execute(select(t.season.c.criteria)).scalar_one()
        db.execute(update(t.season).values(criteria=to_text(criteria)))
        log(season, db, "criteria changed", old)


def open_names(season: Season) -> None:
    """Break the seal: from now on names may be shown."""
    with season.writing() as db:
        if db.execute(select(t.season.c.opened_at)).scalar_one() == "":
            db.execute(update(t.season).values(opened_at=season.now()))
            log(season, db, "names opened")


def sealed_names(season: Season) -> tuple[SealedName, ...]:
    """Return the file names under which entries arrived; InputError while they are sealed."""
    if not read_facts(season).opened:
        raise InputError(
            "the names are sealed until the season is opened, so that entries are read blind"
        )
    query = (
        select(t.entry.c.code, t.sealed_name.c.number, t.sealed_name.c.name)
        .join(t.entry, t.entry.c.id == t.sealed_name.c.entry_id)
        .order_by(t.entry.c.code, t.sealed_name.c.number)
    )
    with season.reading() as db:
        return tuple(SealedName(*row) for row in db.execute(query))


def add_version(season: Season, code: str, sha256: str, ending: str, name: str) -> EntryFacts:
    """Add a version to an entry, which is made where the code is new; `name` goes under seal."""
    with season.writing() as db:
        if db.execute(select(t.version.c.number).where(t.version.c.sha256 == sha256)).first():
            raise InputError("this very file is in the season already")
        found = db.execute(select(t.entry.c.id).where(t.entry.c.code == code)).scalar()
        of = found or _inserted(db, code)
        newest = select(func.max(t.version.c.number)).where(t.version.c.entry_id == of)
        number = (db.execute(newest).scalar() or 0) + 1
        db.execute(
            insert(t.version).values(entry_id=of, number=number, sha256=sha256, ending=ending)
        )
        db.execute(
            insert(t.sealed_name).values(entry_id=of, number=number, name=name, at=season.now())
        )
        return read_entry(season, code)


def read_entries(season: Season) -> tuple[EntryFacts, ...]:
    """Return all entries in the order of their code names, which says nothing of arrival."""
    versions: dict[int, list[Version]] = defaultdict(list)
    with season.reading() as db:
        for row in db.execute(select(t.version).order_by(t.version.c.number)):
            versions[row.entry_id].append(Version(row.number, row.sha256, row.ending))
        rows = db.execute(_entries_query().order_by(t.entry.c.code)).all()
    return tuple(
        EntryFacts(row.code, tuple(versions[row.id]), _stage(row), row.seconds) for row in rows
    )


def read_entry(season: Season, code: str) -> EntryFacts:
    """Return one entry; InputError for a code that is not in the season."""
    found = [one for one in read_entries(season) if one.code == code]
    if not found:
        raise unknown_entry(season, code)
    return found[0]


def set_stage(season: Season, code: str, stage: Stage) -> None:
    """Say that an entry is written or sent; any other stage takes that back."""
    kept = stage if stage in (Stage.WRITTEN, Stage.SENT) else ""
    with season.writing() as db:
        db.execute(
            update(t.entry).where(t.entry.c.id == entry_id(season, db, code)).values(stage=kept)
        )


def add_seconds(season: Season, code: str, seconds: float) -> None:
    """Add to the time the teacher has spent on an entry."""
    with season.writing() as db:
        db.execute(
            update(t.entry)
            .where(t.entry.c.id == entry_id(season, db, code))
            .values(seconds=t.entry.c.seconds + max(0.0, seconds))
        )


def entry_id(season: Season, db: Connection, code: str) -> int:
    """Return the number of an entry in the tables; InputError for an unknown code."""
    found = db.execute(select(t.entry.c.id).where(t.entry.c.code == code)).scalar()
    if found is None:
        raise unknown_entry(season, code)
    return int(found)


def unknown_entry(season: Season, code: str) -> InputError:
    """Return the error that says which code names there are."""
    with season.reading() as db:
        known = db.execute(select(t.entry.c.code).order_by(t.entry.c.code)).scalars().all()
    names = ", ".join(known) if known else "none yet"
    return InputError(f'there is no entry "{code}" in this season; its entries are {names}')


def _season_row(season: Season) -> Row[Any]:
    with season.reading() as db:
        row = db.execute(select(t.season)).first()
    if row is None:
        raise InputError(f"{season.folder} holds a season without a name; make it anew")
    return row


def _inserted(db: Connection, code: str) -> int:
    made = db.execute(insert(t.entry).values(code=code).returning(t.entry.c.id))
    return int(made.scalar_one())


def _entries_query() -> Select[Any]:
    """Return entries with whether the newest version is reviewed and anything was written."""
    newest = (
        select(func.max(t.version.c.number))
        .where(t.version.c.entry_id == t.entry.c.id)
        .scalar_subquery()
    )
    reviewed = exists().where(t.review.c.entry_id == t.entry.c.id, t.review.c.number == newest)
    begun = [
        exists().where(table.c.entry_id == t.entry.c.id)
        for table in (t.decision, t.remark, t.grade, t.draft)
    ]
    return select(
        t.entry,
        reviewed.label("reviewed"),
        (begun[0] | begun[1] | begun[2] | begun[3]).label("begun"),
    )


def _stage(row: Row[Any]) -> Stage:
    if row.stage:
        return Stage(row.stage)
    if row.begun:
        return Stage.READING
    return Stage.COMPUTED if row.reviewed else Stage.NEW
