"""Reviews, which only grow: a moved threshold or a newer Redstave makes another one."""

import json
from dataclasses import asdict
from functools import lru_cache
from hashlib import sha256
from typing import Any

from sqlalchemy import Connection, Row, func, insert, select

from redstave.model.finding import Claim
from redstave.model.remark import finding_key
from redstave.model.review import Review
from redstave.model.season import KeptReview
from redstave.store import tables as t
from redstave.store.codec import from_text, to_text
from redstave.store.entries import entry_id
from redstave.store.season import Season


def add_review(season: Season, code: str, number: int, review: Review) -> int:
    """Keep the review of a version of an entry as its newest and return its number.

    The newest of that version once more is not kept twice; an older one is, because what was made
    last is what holds: a threshold that was moved may have been put back.
    """
    with season.writing() as db:
        of = entry_id(season, db, code)
        newest = (
            select(t.review.c.id, t.review.c.body)
            .where(t.review.c.entry_id == of, t.review.c.number == number)
            .order_by(t.review.c.id.desc())
            .limit(1)
        )
        found = db.execute(newest).first()
        if found is not None and found.body == to_text(review):
            return int(found.id)
        return _added(season, db, of, number, review)


def newest_review(season: Season, code: str, number: int | None = None) -> KeptReview | None:
    """Return the last review of an entry's newest (or given) version, None where there is none."""
    with season.reading() as db:
        of = entry_id(season, db, code)
        wanted = number or _newest_version(db, of)
        query = (
            select(t.review, t.entry.c.code)
            .join(t.entry, t.entry.c.id == t.review.c.entry_id)
            .where(t.review.c.entry_id == of, t.review.c.number == wanted)
            .order_by(t.review.c.id.desc())
        )
        row = db.execute(query.limit(1)).first()
    return _kept(row) if row else None


def read_reviews(season: Season, code: str) -> tuple[KeptReview, ...]:
    """Return every review of an entry, oldest first."""
    with season.reading() as db:
        query = (
            select(t.review, t.entry.c.code)
            .join(t.entry, t.entry.c.id == t.review.c.entry_id)
            .where(t.review.c.entry_id == entry_id(season, db, code))
            .order_by(t.review.c.id)
        )
        return tuple(_kept(row) for row in db.execute(query))


def newest_findings(season: Season) -> dict[str, dict[str, str]]:
    """Return the findings of every entry's newest review of its newest version: slugs by key."""
    newest = (
        select(t.version.c.entry_id, func.max(t.version.c.number).label("number"))
        .group_by(t.version.c.entry_id)
        .subquery()
    )
    last = (
        select(t.review.c.entry_id, func.max(t.review.c.id).label("id"))
        .join(
            newest,
            (newest.c.entry_id == t.review.c.entry_id) & (newest.c.number == t.review.c.number),
        )
        .group_by(t.review.c.entry_id)
        .subquery()
    )
    query = (
        select(t.entry.c.code, t.finding.c.key, t.finding.c.slug)
        .join(last, last.c.entry_id == t.entry.c.id)
        .join(t.finding, t.finding.c.review_id == last.c.id)
    )
    found: dict[str, dict[str, str]] = {}
    with season.reading() as db:
        for row in db.execute(query):
            found.setdefault(row.code, {})[row.key] = row.slug
    return found


def provenance_key(review: Review) -> str:
    """Return a name for what a review rests on."""
    text = json.dumps(asdict(review.provenance), sort_keys=True, ensure_ascii=False)
    return sha256(text.encode()).hexdigest()


def _added(season: Season, db: Connection, of: int, number: int, review: Review) -> int:
    made: int = db.execute(
        insert(t.review)
        .values(
            entry_id=of,
            number=number,
            provenance=_next_key(db, of, number, provenance_key(review)),
            redstave=review.provenance.redstave,
            data_edition=review.provenance.data_edition,
            settings=json.dumps(review.provenance.settings),
            at=season.now(),
            body=to_text(review),
        )
        .returning(t.review.c.id)
    ).scalar_one()
    if review.findings:
        db.execute(insert(t.finding), [_finding_row(made, at, review) for at in _places(review)])
    return made


def _next_key(db: Connection, of: int, number: int, key: str) -> str:
    """Return the name of one more review that rests on the same: every one has its own."""
    like = select(func.count()).where(
        t.review.c.entry_id == of,
        t.review.c.number == number,
        t.review.c.provenance.startswith(key),
    )
    count = db.execute(like).scalar_one()
    return f"{key}-{count + 1}" if count else key


def _places(review: Review) -> range:
    return range(len(review.findings))


def _finding_row(review_id: int, position: int, review: Review) -> dict[str, Any]:
    finding = review.findings[position]
    return {
        "review_id": review_id,
        "position": position,
        "key": finding_key(finding),
        "slug": finding.slug,
        "claim": str(finding.claim or Claim.RISK),
        "first_bar": min((spot.bar for spot in finding.spots), default=-1),
        "last_bar": max((spot.last_bar for spot in finding.spots), default=-1),
        "places": len(finding.spots),
    }


def _newest_version(db: Connection, of: int) -> int:
    query = (
        select(t.version.c.number)
        .where(t.version.c.entry_id == of)
        .order_by(t.version.c.number.desc())
    )
    return int(db.execute(query.limit(1)).scalar_one())


def _kept(row: Row[Any]) -> KeptReview:
    return KeptReview(row.id, row.code, row.number, row.at, _review(row.body))


@lru_cache(maxsize=8)  # the desk asks for the same one at every step
def _review(body: str) -> Review:
    return from_text(Review, body)
