"""Words as players read them: find the phrases of `words.toml` in a printed text.

Letters that stand for levels come in three dresses: as level marks, as small letters in words
("sempre pp"), and as characters of the Standard Music Font Layout (U+E520 is p, U+E522 is f).
"""

import re
import tomllib
import unicodedata
from collections.abc import Iterable
from functools import cache, lru_cache
from importlib.resources import files
from typing import Any, NamedTuple

# SMuFL 1.4, range "Dynamics", U+E520 – U+E53D: https://w3c.github.io/smufl/latest/tables/dynamics.html
_SMUFL_LETTERS = """
p m f r s z n pppppp ppppp pppp ppp pp mp mf pf ff fff ffff fffff ffffff
fp fz sf sfp sfpp sfz sfzp sffz rf rfz
"""
_SMUFL = dict(enumerate(_SMUFL_LETTERS.split(), start=0xE520))
_TOKEN = re.compile(r"[A-Za-z]+|\d+")
_RUN_ON = re.compile(r"(?<=[a-z])(?=\d)|(?<=\d)(?=[A-Za-z])")


class Sense(NamedTuple):
    """One phrase found: what it means and where its first word stands in the text."""

    meaning: str
    position: int
    words: int


@lru_cache(maxsize=20_000)
def tokens(text: str) -> tuple[str, ...]:
    """Split a text into words without accents; capitals are kept, SMuFL letters written out."""
    spelled = text.translate(_SMUFL).replace("ß", "ss").replace("ſ", "s")
    plain = unicodedata.normalize("NFKD", spelled)
    bare = "".join(letter for letter in plain if not unicodedata.combining(letter))
    return tuple(_TOKEN.findall(_RUN_ON.sub(" ", bare)))


@lru_cache(maxsize=20_000)
def senses(text: str, heading: str) -> tuple[Sense, ...]:
    """Return the phrases under one heading of the vocabulary, in the order of the text."""
    known, longest = _phrases()[heading]
    words = tokens(text)
    low = tuple(_lowered(word) for word in words)
    found, position = [], 0
    while position < len(words):
        for length in range(min(longest, len(words) - position), 0, -1):
            meaning = known.get(low[position : position + length])
            if meaning is not None:
                found.append(Sense(meaning, position, length))
                position += length
                break
        else:
            position += 1
    return tuple(found)


def _lowered(word: str) -> str:
    """Lower a word, but not a single capital: "F" is a drum or a bar label, never forte."""
    return word if len(word) == 1 else word.lower()


@cache
def _phrases() -> dict[str, tuple[dict[tuple[str, ...], str], int]]:
    text = files("redstave.players").joinpath("words.toml").read_text("utf-8")
    return {heading: _table(_flat(meanings)) for heading, meanings in tomllib.loads(text).items()}


def _flat(meanings: dict[str, Any]) -> Iterable[tuple[str, list[str]]]:
    """Give sub-tables dotted names: level.named.pp gives "named.pp"."""
    for meaning, words in meanings.items():
        if isinstance(words, dict):
            yield from ((f"{meaning}.{name}", list(more)) for name, more in words.items())
        else:
            yield meaning, words


def _table(meanings: Iterable[tuple[str, list[str]]]) -> tuple[dict[tuple[str, ...], str], int]:
    known = {tokens(word): meaning for meaning, words in meanings for word in words}
    return known, max(len(words) for words in known)
