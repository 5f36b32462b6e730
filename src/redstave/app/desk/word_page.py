"""What the teacher says at the desk: what stands, what can be said of the bars at hand."""

import re
from typing import NamedTuple

from redstave.app import teachers_word
from redstave.app.compute import is_up_to_date
from redstave.app.desk.opened import Opened
from redstave.app.word_text import HANDS, Pages
from redstave.app.word_use import Saying, said_texts, with_teachers_word
from redstave.model.match import Choice
from redstave.model.role import Role
from redstave.model.season import Told
from redstave.model.teacher import TeachersWord
from redstave.original.beside import Beside, beside
from redstave.original.form import sections_of
from redstave.store import Season

CHOICES = {
    Choice.HIGHEST: "its highest tones",
    Choice.LOWEST: "its lowest tones",
    Choice.ALL: "all its tones",
}


class Row(NamedTuple):
    """One thing that was said: its kind and text as it is taken back, and in a sentence."""

    kind: str
    text: str
    words: str


class WordPage(NamedTuple):
    """All that the form needs; `sources` are the piano's bars (names) of every bar of the entry.

    Without an original they and `staves` are empty.
    """

    revision: int
    rows: tuple[Row, ...]
    fresh: bool
    bars: tuple[str, ...]
    sources: tuple[tuple[str, ...], ...]
    lines: tuple[str, ...]
    roles: tuple[str, ...]
    staves: tuple[str, ...]
    choices: tuple[tuple[str, str], ...]
    cuts: bool  # whether sections begin only where the teacher says


def word_page(season: Season, opened: Opened) -> WordPage:
    """Gather what was said and can be said of an entry."""
    both = beside(opened.analysis)
    told, pages = teachers_word.told(season, opened.code), pages_of(opened)
    return WordPage(
        told.revision,
        tuple(
            Row(kind, text, _words(kind, text))
            for kind, texts in said_texts(told.word, pages).items()
            for text in texts
        ),
        is_up_to_date(season, opened.code),
        pages.bars.all,
        _sources(both, pages),
        tuple(dict.fromkeys(line.name for line in pages.playing.lines)),
        tuple(Role),
        _staves(pages) if both else (),
        tuple((str(choice), words) for choice, words in CHOICES.items()),
        bool(told.word.cuts),
    )


def say(season: Season, opened: Opened, kind: str, text: str, revision: int) -> Told:
    """Keep one thing that is said; the first section is said beside those that were found."""
    pages = pages_of(opened)
    made = {
        "pins": lambda: Saying(pins=(text,)),
        "roles": lambda: Saying(roles=(text,)),
        "voices": lambda: Saying(voices=(text,)),
        "cuts": lambda: Saying(cuts=", ".join([*_begun(season, opened), text])),
    }
    return teachers_word.say(season, opened.code, made[kind](), pages, revision)


def take_back(season: Season, opened: Opened, kind: str, text: str, revision: int) -> Told:
    """Take one thing back, named as its row has it."""
    return teachers_word.take_back(season, opened.code, kind, text, pages_of(opened), revision)


def with_new_word(opened: Opened, word: TeachersWord) -> Opened:
    """Return an entry laid open with another word; what does not depend on it is taken over."""
    analysis = with_teachers_word(opened.analysis, word)
    return Opened(opened.code, analysis, opened.review, opened.xml)


def pages_of(opened: Opened) -> Pages:
    """Return what an opened entry gives to speak about."""
    return opened.once(_pages_of)


def _pages_of(opened: Opened) -> Pages:
    analysis = opened.analysis
    return Pages(analysis.score, analysis.playing, analysis.original)


def _begun(season: Season, opened: Opened) -> list[str]:
    """Return the bars where sections begin by the teacher's word, or as found where he has none."""
    cuts = teachers_word.told(season, opened.code).word.cuts
    found = (one.first for one in sections_of(opened.analysis) if one.first)
    return [pages_of(opened).bars.name(bar) for bar in cuts or found]


def _sources(both: Beside | None, pages: Pages) -> tuple[tuple[str, ...], ...]:
    if both is None:
        return ()
    sources = both.match.originals_of
    bars = range(len(pages.entry.bars))
    return tuple(tuple(map(pages.piano.name, sources.get(bar, ()))) for bar in bars)


def _staves(pages: Pages) -> tuple[str, ...]:
    if pages.staves == len(HANDS):
        return tuple(HANDS)
    return tuple(f"stave {number}" for number in range(1, pages.staves + 1))


def _words(kind: str, said: str) -> str:
    text = re.sub(r"(?<=[\d)])-(?=\d)", "–", said)
    if kind == "pins":
        here, _, there = text.partition(" = ")
        bars, come = ("Bars", "come") if "–" in here else ("Bar", "comes")
        if there == "none":
            return f"{bars} {here} {come} from no bar of the piano"
        return f"{bars} {here} {come} from the piano’s {bars.lower()} {there}"
    if kind == "voices":
        return f"Piano, {text}"
    return f"A section begins at bar {text}" if kind == "cuts" else text
