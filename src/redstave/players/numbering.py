"""Numbers of players in words: "1.", "II.", "2do", "3. solo", "1. 2."."""

import re
from functools import lru_cache

from redstave.instruments.lexicon import lexicon
from redstave.players.words import senses, tokens

_ROMAN = {"I": 1, "II": 2, "III": 3, "IV": 4, "V": 5, "VI": 6, "VII": 7, "VIII": 8}
# One number of a player with its ending ("1.", "II", "2do") and what joins it to the next.
_NUMBER = re.compile(
    r"\s*(?:(?P<arabic>[1-8])(?!\d)|(?P<roman>VIII|VII|VI|IV|V|III|II|I)(?![A-Za-z]))"
    r"(?P<ending>[.º°]|(?:mo|do|ma|da|o|a|er|re|ere|e|eme|me|m|st|nd|rd|th|ter?)(?![A-Za-z]))?"
    r"\.?\s*(?P<join>[,/+&–-]|(?:e|et|u|und|and)(?=[\s.]))?"
)
_PLAYER = re.compile(r"^(?:players?|spieler|pl\.)\s*(?=[1-8IV])", re.IGNORECASE)
# What may follow a number that counts no player: tempo, strings, repeats, positions, fingers.
_NO_PLAYER = re.compile(
    r"tempo|cord[ae]|saite|volta|fois|\btimes?\b|\bmal\b|pos\b|position|finger|takt|bars?\b|mesure"
    r"|satz|mov|viol|vl|vn|\bpult|pupitre|desk|legg",
    re.IGNORECASE,
)


@lru_cache(maxsize=20_000)
def player_numbers(text: str, own: tuple[int, ...]) -> tuple[int, ...]:
    """Return the players' numbers a text begins with, each once, in its order.

    A bare "2" may be a finger or count repeated bars: it needs a stop, an ordinal's ending, "solo"
    or "player". Numbers that no player of the stave has (`own`) are none, nor is "I. Tempo".
    """
    text, said = _without_player(text.strip(" ()[]"))
    told: list[int] = _in_letters(text)
    if told:
        return tuple(told) if told[0] in own else ()
    marked, position, range_ = False, 0, False
    while match := _NUMBER.match(text, position):
        number = _ROMAN.get(match["roman"], 0) or int(match["arabic"])
        told.extend(range(told[-1] + 1, number) if range_ else ())
        told.append(number)
        range_ = match["join"] in {"-", "–"}
        marked = marked or bool(match["roman"] or match["ending"])
        position = match.end()
    if not told or _NO_PLAYER.search(text, position):
        return ()
    marked = marked or said or _alone(text) or len(told) > 1
    known = all(number in own for number in told)
    return tuple(dict.fromkeys(told)) if known and marked else ()


def _without_player(text: str) -> tuple[str, bool]:
    """Return what follows "player" or "Spieler" in a text, and whether it begins so."""
    rest = _PLAYER.sub("", text)
    return rest, rest != text


def _alone(text: str) -> bool:
    """Whether a text says that those it names play alone."""
    alone = any(sense.meaning in {"solo", "soli"} for sense in senses(text, "sharing"))
    return alone or "only" in map(str.lower, tokens(text))


def _in_letters(text: str) -> list[int]:
    """Return the number of a text that is an ordinal in letters: "secondo", "Erster solo"."""
    words = [word.lower() for word in tokens(text)]
    number = lexicon().ordinals.get(words[0], 0) if words else 0
    return [number] if number and (len(words) == 1 or (len(words) == 2 and _alone(text))) else []
