"""The teacher's word on a version of an entry; each change is a revision, and all stay."""

from sqlalchemy import insert, select

from redstave.base.errors import StaleError
from redstave.model.season import Told
from redstave.model.teacher import TeachersWord
from redstave.store import tables as t
from redstave.store.codec import from_text, to_text
from redstave.store.entries import entry_id
from redstave.store.season import Season


def read_word(season: Season, code: str, number: int) -> Told:
    """Return the teacher's word on a version of an entry; revision 0 where he has said nothing."""
    with season.reading() as db:
        query = select(t.teacher_word).where(
            t.teacher_word.c.entry_id == entry_id(season, db, code),
            t.teacher_word.c.number == number,
        )
        row = db.execute(query.order_by(t.teacher_word.c.revision.desc()).limit(1)).first()
    return Told(from_text(TeachersWord, row.body), row.revision) if row else Told()


def write_word(
    season: Season, code: str, number: int, word: TeachersWord, revision: int, by: str = ""
) -> Told:
    """Write the teacher's word over the revision that was seen; StaleError where it has changed."""
    with season.writing() as db:
        now = read_word(season, code, number)
        if now.revision != revision:
            raise StaleError(
                code, "word on bars and voices", to_text(word), to_text(now.word), now.revision
            )
        db.execute(
            insert(t.teacher_word).values(
                entry_id=entry_id(season, db, code),
                number=number,
                revision=revision + 1,
                body=to_text(word),
                at=season.now(),
                by=by,
            )
        )
        return Told(word, revision + 1)
