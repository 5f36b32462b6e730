"""Words about tempo: headings, comparisons, returns, gradual changes, equations of note values.

The phrases without a number stand in words.toml under [tempo]; what a word is taken to mean in
numbers is data of ours from memory (tempo_words.toml) and always counts as assumed.
"""

import re
import tomllib
from collections.abc import Iterator, Mapping
from functools import cache, lru_cache
from importlib.resources import files
from typing import Any, NamedTuple

from redstave.base.citation import Quantity, Source, quantity
from redstave.players.words import Sense, senses, tokens

FILE = "tempo_words.toml"
# SMuFL 1.4, range "Metronome marks", and the notes of Unicode's Miscellaneous Symbols, in quarters.
_NOTE_LETTERS = {
    "\ueca2": 4.0, "\ueca3": 2.0, "\ueca4": 2.0, "\ueca5": 1.0, "\ueca6": 1.0, "\ueca7": 0.5,
    "\ueca8": 0.5, "\ueca9": 0.25, "\uecaa": 0.25, "♩": 1.0, "♪": 0.5,
}  # fmt: skip
_DOT = "\uecb7"
_NOTE = "[♩♪\ueca0-\uecb6][\uecb7.]*"
_NUMBER = re.compile(
    rf"((?:{_NOTE})?)\s*=\s*(?:ca?\.?\s*)?(\d{{2,3}})(?!\d)(?:\s*[-–]\s*(\d{{2,3}}))?"
)
_EQUATION = re.compile(rf"({_NOTE})\s*=\s*({_NOTE})")
# A bare "string." is stringendo only behind these words or at the beginning: "on one string".
_BEFORE_STRING = frozenset({"", "poco", "molto", "sempre", "un", "e", "ed", "et", "ma", "and"})
_NOT = frozenset({"non", "nicht", "not", "pas", "sans", "senza", "ohne", "kein", "keineswegs"})
_TOO = frozenset({"zu", "so", "sehr", "troppo", "tanto", "molto", "trop", "tres", "too", "very"})
_CHANGES = frozenset({"slowing", "quickening", "held"})


class Said(NamedTuple):
    """What one text, mark or number says about tempo.

    `kind` and `value`: "number" (quarters a minute), "heading" (quarters a minute, assumed),
    "compared" (ratio to the tempo before), "equal" (new note value over old), "same" (the beat goes
    on, whatever the meter), "back" (the last tempo again), "first" (the first of all), "slowing",
    "quickening" or "held" (ratio it leads to), "free" (no strict time). `lasting` is true for a
    change that comes little by little.
    """

    kind: str
    value: float = 0.0
    lasting: bool = False


@lru_cache(maxsize=20_000)
def read_words(text: str, beat: float = 1.0) -> tuple[Said, ...]:
    """Return what a text says about tempo: at most one new tempo, then at most one change.

    `beat` is the beat of the meter in quarters. Only a text that begins with a capital counts as a
    heading: "animato" in a part is not one.
    """
    found = tuple(_known(text))
    change = _change(text, found)
    first = next(_new_tempos(text, found, beat), None)
    if first is not None and change is not None and _comes_later(found):
        first = None
    return tuple(one for one in (first, change, _freedom(found)) if one is not None)


def _known(text: str) -> Iterator[Sense]:
    words = tokens(text)
    for sense in senses(text, "tempo"):
        word = words[sense.position].lower()
        before = words[sense.position - 1].lower() if sense.position else ""
        if word == "string" and sense.words == 1 and before not in _BEFORE_STRING:
            continue
        yield sense


def _comes_later(found: tuple[Sense, ...]) -> bool:
    """Whether "a tempo" stands behind the change in one text: it is for a later place."""
    order = [sense.meaning for sense in found if sense.meaning in _CHANGES | {"back", "first"}]
    return bool(order) and order[0] in _CHANGES


def _new_tempos(text: str, found: tuple[Sense, ...], beat: float) -> Iterator[Said]:
    if match := _NUMBER.search(text):
        highest = float(match[3] or match[2])
        yield Said("number", (float(match[2]) + highest) / 2 * _unit(match[1]))
    if match := _EQUATION.search(text):
        yield Said("equal", _unit(match[2]) / _unit(match[1]))
    meanings = [sense.meaning for sense in found]
    if "first" in meanings:
        yield Said("first")
    if "same" in meanings:
        yield Said("same")
    words = tuple(word.lower() for word in tokens(text))
    gradual = "gradually" in meanings and not _CHANGES.intersection(meanings)
    ratio = 0.0 if gradual else _comparison(words)
    if ratio:
        yield Said("compared", ratio)
    beats = _heading(text, words)
    if beats:
        yield Said("heading", beats * beat)
    if "back" in meanings or any(_alone(sense, words) for sense in found):
        yield Said("back")


def _alone(sense: Sense, words: tuple[str, ...]) -> bool:
    """Whether a text is nothing but "Tempo": the return to it."""
    return sense.meaning == "alone" and sense.words == len(words)


def _unit(letters: str) -> float:
    """Return the beat unit drawn before "=" in quarters; a quarter when none is drawn."""
    unit = next((_NOTE_LETTERS[letter] for letter in letters if letter in _NOTE_LETTERS), 1.0)
    return unit * (1.5 if _DOT in letters or "." in letters else 1.0)


def _comparison(words: tuple[str, ...]) -> float:
    """Return the ratio of a comparison that stands near the beginning, 0 when there is none."""
    known = comparisons()
    near = words[:6]  # a heading begins with it; deep inside a sentence it tells something else
    for length in (4, 3, 2, 1):
        for start in range(len(near) - length + 1):
            found = known.get(near[start : start + length])
            if found and not _NOT.intersection(near[max(0, start - 1) : start]):
                return found.number
    return 0.0


def _heading(text: str, words: tuple[str, ...]) -> float:
    if not _is_heading(text):
        return 0.0
    known = headings()
    at = next((at for at, word in enumerate(words[:4]) if word in known), None)
    if at is None:
        return 0.0
    return known["moderato" if _is_denied(words, at) else words[at]].number


def _is_denied(words: tuple[str, ...], at: int) -> bool:
    """Whether a word is denied: "Nicht schnell", "Pas trop lent", but not "Pas de deux. Vif"."""
    before = at - 1 - (at > 0 and words[at - 1] in _TOO)
    return before >= 0 and words[before] in _NOT


def _is_heading(text: str) -> bool:
    return next((letter for letter in text if letter.isalpha()), "").isupper()


def read_character(text: str, beat: float) -> Said | None:
    """Return the tempo of a dance or a mood that heads a piece: "Tempo di valse", "Tranquillo".

    `beat` as in `read_words`; None where the text names none.
    """
    known = characters()
    words = [word.lower() for word in tokens(text)][:4] if _is_heading(text) else []
    beats = next((known[word].number for word in words if word in known), 0.0)
    return Said("heading", beats * beat) if beats else None


def _change(text: str, found: tuple[Sense, ...]) -> Said | None:
    meanings = {sense.meaning for sense in found}
    lasting = "gradually" in meanings
    kind = next((sense.meaning for sense in found if sense.meaning in _CHANGES), "")
    if kind:
        return Said(kind, changes()[kind][_strength(found)].number, lasting and kind != "held")
    ratio = _comparison(tuple(word.lower() for word in tokens(text))) if lasting else 0.0
    if not ratio:
        return None
    return Said("slowing" if ratio < 1.0 else "quickening", ratio, True)


def _strength(found: tuple[Sense, ...]) -> str:
    """Return how much: "molto" and "poco" count beside the word of the change, on either side."""
    at = next(i for i, sense in enumerate(found) if sense.meaning in _CHANGES)
    end = found[at].position + found[at].words
    for other in found[max(0, at - 1) : at + 2]:
        touches = other.position + other.words == found[at].position or other.position == end
        if touches and other.meaning in {"little", "strong"}:
            return other.meaning
    return "plain"


def _freedom(found: tuple[Sense, ...]) -> Said | None:
    return Said("free") if any(sense.meaning == "free" for sense in found) else None


@cache
def headings() -> Mapping[str, Quantity]:
    """Return the assumed beats a minute by tempo word."""
    return {word: value for words, value in _listed("heading") for word in words}


@cache
def characters() -> Mapping[str, Quantity]:
    """Return the assumed beats a minute by the word of a dance or a mood."""
    return {tokens(word)[0]: value for words, value in _listed("character") for word in words}


@cache
def comparisons() -> Mapping[tuple[str, ...], Quantity]:
    """Return the assumed ratio of tempos by phrase ("più mosso")."""
    found = _listed("comparison")
    return {
        tuple(part.lower() for part in tokens(word)): value
        for words, value in found
        for word in words
    }


@cache
def changes() -> Mapping[str, Mapping[str, Quantity]]:
    """Return the ratio a change without a goal leads to, by kind and strength."""
    return _tables("gradual")


@cache
def lengths() -> Mapping[str, Mapping[str, Quantity]]:
    """Return how many bars a change lasts ("bars"), and how far off a mark ends it ("reach")."""
    return _tables("length")


@cache
def pauses() -> Mapping[str, Mapping[str, Quantity]]:
    """Return how long fermatas and silences are taken to be."""
    return _tables("pause")


def _listed(table: str) -> list[tuple[list[str], Quantity]]:
    page, sources = _page()
    return [
        (entry["words"], quantity(entry["tempo"], f"{FILE} [{table}]", sources))
        for entry in page[table]
    ]


def _tables(table: str) -> Mapping[str, Mapping[str, Quantity]]:
    page, sources = _page()
    return {
        name: {
            key: quantity(leaf, f"{FILE} [{table}.{name}]", sources) for key, leaf in row.items()
        }
        for name, row in page[table].items()
    }


@cache
def _page() -> tuple[dict[str, Any], dict[str, Source]]:
    page = tomllib.loads(files("redstave.players").joinpath(FILE).read_text("utf-8"))
    sources = {
        key: Source(key, entry["title"], entry["read"]) for key, entry in page["sources"].items()
    }
    return page, sources
