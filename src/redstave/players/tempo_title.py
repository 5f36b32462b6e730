"""A tempo that only the title names: "Andante con moto" over the page, and nothing over a stave."""

from redstave.model.score import Score
from redstave.players.tempo_marks import NEW, WORD, Meters, Statement, beat_at
from redstave.players.tempo_words import read_words

NAMED = frozenset(["heading", "number"])
TITLE = WORD + 1  # the last evidence of all
# What a file calls the title of a movement, and what it prints on the first page.
TITLES = ("movement-title", "credit-title", "credit-subtitle", "credit")


def with_title(
    score: Score, said: tuple[Statement, ...], known: Meters, opening: int
) -> tuple[Statement, ...]:
    """Return what is said about tempo, with the tempo that a title names where no stave has one.

    `opening` is the last tick at which a tempo counts as the first.
    """
    if any(one.said.kind in NEW and one.tick <= opening for one in said):
        return said
    text = tempo_in_title(score)
    named = [told for told in read_words(text, beat_at(known, 0)) if told.kind in NAMED]
    return (*(Statement(0, TITLE, told, text) for told in named[:1]), *said)


def tempo_in_title(score: Score) -> str:
    """Return the first of the score's titles that names a tempo, "" where none does."""
    titles = [" ".join(text.split()) for name, text in score.metadata if name in TITLES]
    return next(
        (text for text in titles if any(told.kind in NAMED for told in read_words(text))), ""
    )
