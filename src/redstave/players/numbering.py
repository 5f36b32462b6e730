"""Numbers of players in words: "1.", "II.", "2do", "3. solo", "1. 2."."""

import re
from functools import lru_cache

from redstave.players.words import senses

_ROMAN = {"I": 1, "II": 2, "III": 3, "IV": 4, "V": 5, "VI": 6, "VII": 7, "VIII": 8}
# One number of a player with its ending ("1.", "II", "2do") and what joins it to the next.
_NUMBER = re.compile(
    r"\s*(?:(?P<arabic>[1-8])(?!\d)|(?P<roman>VIII|VII|VI|IV|V|III|II|I)(?![A-Za-z]))"
    r"(?P<ending>[.º°]|(?:mo|do|ma|da|o|a|er|re|ere|e|eme|me|m|st|nd|rd|th|ter?)(?![A-Za-z]))?"
    r"\.?\s*(?P<join>[,/+&–-]|(?:e|et|u|und|and)(?=[\s.]))?"
)
# What may follow a number that counts no player: tempo, strings, repeats, positions, fingers.
_NO_PLAYER = re.compile(
    r"tempo|cord[ae]|saite|volta|fois|\btimes?\b|\bmal\b|pos\b|position|finger|takt|bars?\b|mesure"
    r"|satz|mov|viol|vl|vn|\bpult|pupitre|desk|legg",
    re.IGNORECASE,
)


@lru_cache(maxsize=20_000)
def player_numbers(text: str, own: tuple[int, ...]) -> tuple[int, ...]:
    """Return the players' numbers a text begins with, each once, in its order.

    A bare "2" may be a finger or count repeated bars: it needs a stop, an ordinal's ending or
    "solo". Numbers that no player of the stave has (`own`) are none, nor is "I. Tempo".
    """
    told: list[int] = []
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
    solo = any(sense.meaning in {"solo", "soli"} for sense in senses(text, "sharing"))
    known = all(number in own for number in told)
    return tuple(dict.fromkeys(told)) if known and (marked or solo or len(told) > 1) else ()
