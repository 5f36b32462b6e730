"""The words of part names in four languages, and the splitting of a name into tokens."""

import re
import tomllib
import unicodedata
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any, NamedTuple

LANGUAGES = ("en", "it", "de", "fr")

_SIGNS = {"♭": "b", "𝄫": "bb", "♯": "#", "♮": " natural ", "ſ": "s", "ß": "ss", "º": "°", "ª": "°"}
_TOKEN = re.compile(
    r"(?P<number>\d+)(?P<ordinal>(?:st|nds|nd|rd|th|mo|do|da|ds|ma|ra|ers|er|res|re|emes|eme|mes|es|e|o|a)(?![A-Za-z])|°)?"
    r"|(?P<word>[A-Za-z]+#?)(?P<degree>°)?"
    r"|(?P<sign>[&/+,()\[\]-])"
)


class Token(NamedTuple):
    """One word, number or sign of a name; `text` is lower case without accents."""

    kind: str  # "word", "number" or "sign"
    text: str
    written: str
    ordinal: bool = False  # "1.", "1°", "2nd": a number that counts off rather than counts up


class Entry(NamedTuple):
    """What a word of the vocabulary means: candidate instruments, and whether it is a plural."""

    instruments: tuple[str, ...]
    plural: bool
    short: bool


@dataclass(frozen=True)
class Lexicon:
    """All words of all languages by their tokens."""

    names: dict[tuple[str, ...], Entry]
    roles: dict[tuple[str, ...], str]  # "in", "and", "doubling", "solo", … by phrase
    ordinals: dict[str, int]  # "secondi" is 2
    keys: dict[str, str]
    families: dict[str, str]
    kin: dict[str, str]
    sounds: dict[str, str]
    programs: dict[int, str]
    words: frozenset[str]  # every single word known, to take run-on words apart
    longest: int


def tokenise(name: str) -> tuple[Token, ...]:
    """Split a part name into words, numbers and signs, without accents and full stops."""
    plain = "".join(_SIGNS.get(letter, letter) for letter in name)
    plain = "".join(c for c in unicodedata.normalize("NFKD", plain) if not unicodedata.combining(c))
    tokens = []
    for match in _TOKEN.finditer(plain):
        dotted = plain[match.end() : match.end() + 1] == "."
        if number := match["number"]:
            tokens.append(Token("number", number, number, dotted or match["ordinal"] is not None))
        elif word := match["word"]:
            tokens.append(Token("word", word.lower(), word, dotted or match["degree"] is not None))
        else:
            tokens.append(Token("sign", match["sign"], match["sign"]))
    return tuple(tokens)


def phrase(text: str) -> tuple[str, ...]:
    """Return the words of a vocabulary entry as they are matched; "&" and "+" count as words."""
    return tuple(token.text for token in tokenise(text) if token.text not in {"-", ",", "(", ")"})


def family_of(instrument: str) -> str:
    """Return the family of an instrument id: woodwind, brass, percussion … or "unknown"."""
    return lexicon().families.get(instrument, "unknown")


@cache
def lexicon() -> Lexicon:
    """Load the vocabulary files of the package."""
    tables = [_table(language) for language in LANGUAGES]
    evidence = _table("evidence")
    names: dict[tuple[str, ...], Entry] = {}
    for table in tables:
        _add_names(names, table)
    roles = _roles(tables)
    keys = {word: key for table in tables for key, words in table["keys"].items() for word in words}
    spelled = {word for words in (*names, *roles) for word in words if len(word) > 1}
    return Lexicon(
        names=names,
        roles=roles,
        ordinals={
            word: int(number)
            for table in tables
            for number, words in table["ordinals"].items()
            for word in words
        },
        keys=keys,
        families=_inverted(evidence["families"]),
        kin=_inverted(evidence["kin"]),
        sounds=evidence["sounds"],
        programs={int(program): name for program, name in evidence["programs"].items()},
        words=frozenset(spelled | {"e"}),
        longest=max(len(words) for words in (*names, *roles)),
    )


@cache
def singulars() -> dict[tuple[str, ...], str]:
    """Return the singular of each plural name, in its own language where it has one there."""
    english = _table("en")["instruments"]
    found: dict[tuple[str, ...], str] = {}
    for language in LANGUAGES:
        for instrument, forms in _table(language)["instruments"].items():
            ones = (*forms.get("one", ()), *english.get(instrument, {}).get("one", ()))
            for many in forms.get("many", ()) if ones else ():
                found.setdefault(phrase(many), max(ones, key=lambda one: _likeness(one, many)))
    return found


def _likeness(one: str, many: str) -> tuple[bool, int]:
    """Say how well a singular fits a plural: as many words, the same beginning."""
    alike = sum(many.startswith(one[:length]) for length in range(1, len(one) + 1))
    return len(one.split()) == len(many.split()), alike


def _table(name: str) -> dict[str, Any]:
    text = files("redstave.instruments").joinpath("vocabulary", f"{name}.toml").read_text("utf-8")
    return tomllib.loads(text)


def _inverted(groups: dict[str, list[str]]) -> dict[str, str]:
    return {member: group for group, members in groups.items() for member in members}


def _roles(tables: list[dict[str, Any]]) -> dict[tuple[str, ...], str]:
    return {
        phrase(word): role
        for table in tables
        for role, words in table["words"].items()
        for word in words
    }


def _add_names(names: dict[tuple[str, ...], Entry], table: dict[str, Any]) -> None:
    """Add one language; a word that two instruments share keeps both as candidates."""
    for instrument, forms in table["instruments"].items():
        for form, words in forms.items():
            for word in words:
                _add(names, word, form, (instrument,))
    for form, words in table["ambiguous"].items():
        for word, candidates in words.items():
            _add(names, word, form, tuple(candidates))


def _add(
    names: dict[tuple[str, ...], Entry], word: str, form: str, candidates: tuple[str, ...]
) -> None:
    words = phrase(word)
    entry = Entry(candidates, form == "many", form == "short")
    if known := names.get(words):
        both = tuple(dict.fromkeys(known.instruments + candidates))
        entry = Entry(both, known.plural and entry.plural, known.short and entry.short)
    names[words] = entry
