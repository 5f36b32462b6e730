"""A first tempo that nothing but a title or a character names.

"Andante con moto" stands over the page and nothing over a stave; or the piece begins "Tempo di
valse", which tells a tempo as long as nothing better does.
"""

from redstave.model.score import Score
from redstave.players.page import tick_of
from redstave.players.tempo_marks import NEW, WORD, Meters, Statement, beat_at
from redstave.players.tempo_words import read_character, read_words

NAMED = frozenset(["heading", "number"])
TITLE = WORD + 1  # the last evidence of all
# What a file calls the title of a movement, and what it prints on the first page.
TITLES = ("movement-title", "credit-title", "credit-subtitle", "credit")


def with_title(
    score: Score, said: tuple[Statement, ...], known: Meters, opening: int
) -> tuple[Statement, ...]:
    """Return what is said about tempo, with a first one from a character or a title if need be.

    `opening` is the last tick at which a tempo counts as the first.
    """
    if any(one.said.kind in NEW and one.tick <= opening for one in said):
        return said
    text = tempo_in_title(score)
    named = [told for told in read_words(text, beat_at(known, 0)) if told.kind in NAMED]
    titled = [Statement(0, TITLE, told, text) for told in named[:1]]
    return (*(titled or _characters(score, known, opening)), *said)


def _characters(score: Score, known: Meters, opening: int) -> list[Statement]:
    """Return the tempo of the first character word at the opening of the page, or of a title."""
    printed = [
        (tick_of(score, mark), WORD, " ".join(mark.text.split()))
        for part in score.parts
        for mark in part.marks_of("word", "tempo")
        if tick_of(score, mark) <= opening
    ]
    titles = [(0, TITLE, " ".join(text.split())) for name, text in score.metadata if name in TITLES]
    return [
        Statement(tick, rank, said, text)
        for tick, rank, text in (*sorted(printed), *titles)
        if (said := read_character(text, beat_at(known, tick)))
    ][:1]


def tempo_in_title(score: Score) -> str:
    """Return the first of the score's titles that names a tempo, "" where none does."""
    titles = [" ".join(text.split()) for name, text in score.metadata if name in TITLES]
    return next(
        (text for text in titles if any(told.kind in NAMED for told in read_words(text))), ""
    )
