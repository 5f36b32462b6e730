"""What the teacher decided on each finding; every decision stays, the last one counts."""

from collections import Counter

from sqlalchemy import Select, func, insert, select

from redstave.model.remark import Decision
from redstave.model.season import Acceptance, Judged
from redstave.store import tables as t
from redstave.store.entries import entry_id
from redstave.store.season import Season


def decide(season: Season, code: str, judged: Judged) -> None:
    """Record a decision on a finding of an entry; `at` is filled in. OPEN takes one back."""
    with season.writing() as db:
        db.execute(
            insert(t.decision).values(
                entry_id=entry_id(season, db, code),
                key=judged.key,
                slug=judged.slug,
                decision=str(judged.decision),
                reason=judged.reason,
                remark=judged.remark,
                at=season.now(),
                by=judged.by,
            )
        )


def decisions(season: Season, code: str) -> dict[str, Judged]:
    """Return the decision that counts for each finding (by key) decided on."""
    with season.reading() as db:
        of = entry_id(season, db, code)
        rows = db.execute(
            select(t.decision).where(
                t.decision.c.id.in_(_last().where(t.decision.c.entry_id == of))
            )
        ).all()
    return {
        row.key: Judged(
            row.key, row.slug, Decision(row.decision), row.reason, row.remark, row.at, row.by
        )
        for row in rows
        if row.decision != Decision.OPEN
    }


def acceptance(season: Season) -> tuple[Acceptance, ...]:
    """Return, for each check decided on in this season, how its findings fared."""
    query = select(t.decision.c.slug, t.decision.c.decision, func.count()).where(
        t.decision.c.id.in_(_last())
    )
    with season.reading() as db:
        rows = db.execute(query.group_by(t.decision.c.slug, t.decision.c.decision)).all()
    counts = Counter({(slug, decision): times for slug, decision, times in rows})
    kinds = (Decision.ACCEPTED, Decision.REWORDED, Decision.MERGED, Decision.DISMISSED)
    found = (
        Acceptance(slug, *(counts[slug, kind] for kind in kinds))
        for slug in sorted({slug for slug, _ in counts})
    )
    return tuple(one for one in found if one.judged)


def _last() -> Select[tuple[int]]:
    """Return the numbers of the decisions that count."""
    return select(func.max(t.decision.c.id)).group_by(t.decision.c.entry_id, t.decision.c.key)
