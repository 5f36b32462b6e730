"""The teacher's phrase book, and how often each wording has gone into a letter."""

import json
from collections import defaultdict
from collections.abc import Sequence
from typing import Any

from sqlalchemy import Connection, delete, func, insert, select, update

from redstave.base.errors import InputError
from redstave.model.phrase import Phrase
from redstave.model.remark import RemarkKind
from redstave.store import tables as t
from redstave.store.season import Season


def read_phrases(season: Season) -> tuple[Phrase, ...]:
    """Return the phrase book in its order."""
    variants: dict[str, list[tuple[str, int]]] = defaultdict(list)
    with season.reading() as db:
        for row in db.execute(select(t.phrase_variant).order_by(t.phrase_variant.c.position)):
            variants[row.phrase_id].append((row.text, row.used))
        rows = db.execute(select(t.phrase).order_by(t.phrase.c.position, t.phrase.c.id)).all()
    return tuple(
        Phrase(
            row.id,
            RemarkKind(row.kind),
            tuple(text for text, _ in variants[row.id]),
            tuple(json.loads(row.checks)),
            tuple(json.loads(row.criteria)),
            tuple(used for _, used in variants[row.id]),
        )
        for row in rows
    )


def write_phrases(season: Season, phrases: Sequence[Phrase]) -> None:
    """Add phrases, or put them in the place of those of the same id; counts of use are kept."""
    with season.writing() as db:
        for phrase in phrases:
            used = _used(db, phrase.id)
            position = _position(db, phrase.id)
            db.execute(delete(t.phrase_variant).where(t.phrase_variant.c.phrase_id == phrase.id))
            db.execute(delete(t.phrase).where(t.phrase.c.id == phrase.id))
            db.execute(insert(t.phrase).values(**_row(phrase, position)))
            for at, text in enumerate(phrase.variants):
                given = phrase.used[at] if at < len(phrase.used) else 0
                db.execute(
                    insert(t.phrase_variant).values(
                        phrase_id=phrase.id,
                        position=at,
                        text=text,
                        used=max(given, used.get(text, 0)),
                    )
                )


def remove_phrase(season: Season, phrase: str) -> None:
    """Take a phrase out of the book; InputError where it is not in it."""
    with season.writing() as db:
        db.execute(delete(t.phrase_variant).where(t.phrase_variant.c.phrase_id == phrase))
        if not db.execute(delete(t.phrase).where(t.phrase.c.id == phrase)).rowcount:
            raise InputError(
                f'there is no phrase "{phrase}"; "redstave phrases list" shows the phrase book'
            )


def count_use(season: Season, phrase: str, variant: int) -> None:
    """Count that a wording of a phrase has been used."""
    with season.writing() as db:
        db.execute(
            update(t.phrase_variant)
            .where(t.phrase_variant.c.phrase_id == phrase, t.phrase_variant.c.position == variant)
            .values(used=t.phrase_variant.c.used + 1)
        )


def _used(db: Connection, phrase: str) -> dict[str, int]:
    query = select(t.phrase_variant.c.text, t.phrase_variant.c.used)
    rows = db.execute(query.where(t.phrase_variant.c.phrase_id == phrase))
    return {row.text: row.used for row in rows}


def _position(db: Connection, phrase: str) -> int:
    found = db.execute(select(t.phrase.c.position).where(t.phrase.c.id == phrase)).scalar()
    if found is not None:
        return int(found)
    return int(db.execute(select(func.max(t.phrase.c.position))).scalar() or 0) + 1


def _row(phrase: Phrase, position: int) -> dict[str, Any]:
    return {
        "id": phrase.id,
        "kind": str(phrase.kind),
        "checks": json.dumps(phrase.checks),
        "criteria": json.dumps(phrase.criteria),
        "position": position,
    }
