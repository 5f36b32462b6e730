"""What the teacher says on bars, voices, roles and sections: read, kept, taken back, applied."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from redstave import store
from redstave.analysis import Analysis
from redstave.app.compute import is_up_to_date
from redstave.app.entry import parse_forces
from redstave.app.hear import printed
from redstave.app.kept_entry import original_of, score_of, version_of
from redstave.app.word_text import Pages, pin_texts, role_text, voice_text
from redstave.app.word_use import Saying, said, said_texts
from redstave.base.errors import InputError, StaleError
from redstave.model.match import NO_BAR, Pin
from redstave.model.season import Told
from redstave.model.teacher import TeachersWord
from redstave.store import Season

Json = dict[str, Any]
KINDS = ("pins", "roles", "voices", "cuts")


def pages_of(season: Season, code: str, number: int | None = None) -> Pages:
    """Return a version of an entry (the newest) and the piano piece, to speak about."""
    score = score_of(season, code, number)
    playing = Analysis(score, parse_forces(store.read_facts(season).forces)).playing
    return Pages(score, playing, original_of(season))


def told(season: Season, code: str) -> Told:
    """Return the teacher's word on the newest version of an entry, with its revision."""
    return store.read_word(season, code, version_of(season, code).number)


def say(
    season: Season,
    code: str,
    saying: Saying,
    pages: Pages | None = None,
    revision: int | None = None,
    by: str = "",
) -> Told:
    """Keep what is said of the newest version of an entry, beside what was said before.

    `revision` is the one that was read, None for the newest. InputError says in one sentence what
    cannot be understood; StaleError that somebody has said something else meanwhile.
    """
    about = pages or pages_of(season, code)
    return _changed(season, code, about, revision, by, lambda word: said(word, saying, about))


def take_back(
    season: Season, code: str, kind: str, text: str, pages: Pages, revision: int, by: str = ""
) -> Told:
    """Take one thing back, named as `said_texts` has it; InputError where it was not said."""
    return _changed(
        season, code, pages, revision, by, lambda word: _without(word, kind, text, pages)
    )


def word_json(season: Season, code: str, pages: Pages) -> Json:
    """Return what was said of an entry as data; the shape is documented in docs/season-json.md."""
    kept, names = told(season, code), {line.id: line.name for line in pages.playing.lines}
    word = kept.word
    return {
        "code": code,
        "version": version_of(season, code).number,
        "revision": kept.revision,
        "pins": [
            {"entry": _bar(pages.bars.name(one.entry)), "original": _piano_bar(one, pages)}
            for one in word.pins
        ],
        "roles": [
            {
                "text": role_text(one, pages),
                "line": names[one.line],
                "first_bar": _bar(pages.bars.name(one.first)),
                "last_bar": _bar(pages.bars.name(one.last)),
                "role": str(one.role),
            }
            for one in word.roles
        ],
        "voices": [
            {
                "text": voice_text(one, pages),
                "first_bar": _bar(pages.piano.name(one.first)),
                "last_bar": _bar(pages.piano.name(one.last)),
                "stave": one.stave,
                "choice": str(one.choice),
                "name": one.name,
            }
            for one in word.voices
        ],
        "cuts": [_bar(pages.bars.name(bar)) for bar in word.cuts],
        "up_to_date": is_up_to_date(season, code),
    }


def _bar(name: str) -> int | str:
    return printed(name)


def _piano_bar(pin: Pin, pages: Pages) -> int | str | None:
    return None if pin.original == NO_BAR else _bar(pages.piano.name(pin.original))


def _changed(
    season: Season,
    code: str,
    pages: Pages,
    revision: int | None,
    by: str,
    change: Callable[[TeachersWord], TeachersWord],
) -> Told:
    with season.writing():
        now = told(season, code)
        word = change(now.word)
        if revision is not None and revision != now.revision:
            mine, theirs = (_in_words(one, pages) for one in (word, now.word))
            raise StaleError(code, "word on bars and voices", mine, theirs, now.revision)
        if word == now.word:
            return now
        number = version_of(season, code).number
        return store.write_word(season, code, number, word, now.revision, by)


def _in_words(word: TeachersWord, pages: Pages) -> str:
    texts = said_texts(word, pages)
    return "; ".join(f"{kind}: {', '.join(all_)}" for kind, all_ in texts.items() if all_)


def _without(word: TeachersWord, kind: str, text: str, pages: Pages) -> TeachersWord:
    texts = said_texts(word, pages).get(kind, [])
    if text not in texts:
        raise InputError(f'"{text}" is not among what was said; look again at what stands there')
    if kind == "pins":
        gone = dict(pin_texts(word.pins, pages))[text]
        return replace(word, pins=tuple(pin for pin in word.pins if pin not in gone))
    kept = tuple(one for one, its in zip(getattr(word, kind), texts, strict=True) if its != text)
    return replace(word, **{kind: kept})
