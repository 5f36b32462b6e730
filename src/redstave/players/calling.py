"""Names of single players and groups: "Corni in F III. IV." gives "Corno in F 3"."""

import re
import unicodedata
from collections.abc import Sequence

from redstave.instruments.lexicon import lexicon, phrase, singulars

_ENDING = r"(?:st|nd|rd|th|mo|do|da|ma|ers|er|re|ère|ème|me|e|o|a|º|°)?(?![^\W\d_])"
_NUMBER = rf"(?:\d+|VIII|VII|VI|IV|III|II|I|V){_ENDING}"
# Numbers that stand for players: a row of them, with whatever joins them, and no letter beside.
_NUMBERS = re.compile(
    rf"(?<![\w♭♯]){_NUMBER}\.?(?:\s*(?:[,/+&–-]|\b(?:e|et|u|und|and)\b)?\s*{_NUMBER}\.?)*(?![\w♭♯])"
)
_ASIDE = re.compile(r"\([^)]*\)|\[[^\]]*\]")
_WITH_HYPHEN = frozenset({"tam-tam", "tom-tom", "hi-hat"})
_WORD = re.compile(r"[^\W\d_]+")


def spoken(instrument: str) -> str:
    """Return the id of an instrument as words of a sentence: "bass drum", "tam-tam"."""
    return instrument if instrument in _WITH_HYPHEN else instrument.replace("-", " ")


def player_name(name: str, number: int) -> str:
    """Return the name of one player of a stave: the instrument in the singular, numbered."""
    bare = _NUMBERS.sub(" ", _ASIDE.sub(" ", name))
    bare = " ".join(_singular(bare).split()).strip(" ,-–/&")
    bare = without_stop(bare)
    return f"{bare} {number}" if bare else str(number)


def without_stop(name: str) -> str:
    """Return a printed name without the full stop that engravers set behind it.

    "Controfagotto." and "2 Clarinetti in B." lose it in a sentence, "Timp." keeps its own.
    """
    return name if _is_short(name) else name.rstrip(".") or name


def _is_short(name: str) -> bool:
    """Whether a name ends in an abbreviation, whose full stop belongs to it."""
    words = phrase(name)
    known = lexicon().names
    entry = known.get(words) or (known.get(words[-1:]) if words and len(words[-1]) > 1 else None)
    return entry is not None and entry.short


def _singular(text: str) -> str:
    """Put the first plural instrument name of a text into the singular, in its own language."""
    words = list(_WORD.finditer(text))
    known = singulars()
    for length in range(3, 0, -1):
        for first in range(len(words) - length + 1):
            run = words[first : first + length]
            one = known.get(tuple(_plain(word[0]) for word in run))
            if one is not None:
                start, stop = run[0].start(), run[-1].end()
                return text[:start] + _like(one, text[start:stop]) + text[stop:]
    return text


def _plain(word: str) -> str:
    letters = unicodedata.normalize("NFKD", word.replace("ß", "ss").replace("ſ", "s"))
    return "".join(letter for letter in letters if not unicodedata.combining(letter)).lower()


def _like(one: str, many: str) -> str:
    """Write a singular with the capitals and accents of the plural on the page."""
    if _plain(many) == f"{one}er":  # the umlaut of "Hörner" goes with the plural
        return one[:1].upper() + one[1:] if many[:1].isupper() else one
    kept = next(n for n in range(len(many), -1, -1) if one.startswith(_plain(many[:n])))
    return many[:kept] + one[len(_plain(many[:kept])) :]


def part_names(count: int) -> tuple[str, ...]:
    """Return how the parts of a divided section are called, from the top."""
    if count <= 2:
        return ("upper half", "lower half")
    if count == 3:
        return ("upper third", "middle third", "lower third")
    return tuple(f"part {number} of {count}" for number in range(1, count + 1))


def together(names: Sequence[str]) -> str:
    """Return players of one stave as one name: "Horn 1" and "Horn 2" give "Horn 1. 2"."""
    stems = {name.rpartition(" ")[0] for name in names}
    numbers = [name.rpartition(" ")[2] for name in names]
    if len(stems) == 1 and len(names) > 1 and all(number.isdecimal() for number in numbers):
        return f"{stems.pop()} {'. '.join(numbers)}"
    return ", ".join(names)


def names_player(name: str, player: str) -> bool:
    """Tell whether a name, of one line or of several together, names a line by its name."""
    stem, _, number = player.rpartition(" ")
    numbers = name.removeprefix(f"{stem} ").replace(".", " ").split()
    several = name.startswith(f"{stem} ") and all(one.isdecimal() for one in numbers)
    return name == player or (several and number in numbers)
