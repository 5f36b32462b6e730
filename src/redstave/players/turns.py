"""When the players of a part change instrument: "Piccolo.", "muta in Corno inglese", "Gr. Fl."."""

from bisect import bisect_right
from collections.abc import Sequence
from functools import lru_cache
from typing import NamedTuple

from redstave.instruments.lexicon import lexicon
from redstave.instruments.names import Naming, resolve_name
from redstave.instruments.wording import Reading, read_name
from redstave.model.score import Part, Score
from redstave.players.dynamics import read_levels

_read = lru_cache(maxsize=20_000)(read_name)  # parts say the same words again and again
_AD_LIB = frozenset({"ad", "lib", "libitum"})


class Turn(NamedTuple):
    """From `tick` on the players hold instrument `holds` of their part.

    `players` are the places (from 0) of the players a number names, () when it names none;
    `plural` tells whether the word is a plural.
    """

    tick: int
    holds: int
    bar: int
    cause: str
    players: tuple[int, ...] = ()
    plural: bool = False


def turns_of(
    score: Score, part: Part, instruments: Sequence[str], numbers: Sequence[int] = ()
) -> tuple[Turn, ...]:
    """Return the changes that words in the part announce, among the instruments it has.

    "muta in Piccolo" counts from where it stands: it stands in the rest before the piccolo plays.
    `numbers` are those of the players of a shared stave: "2. muta in Piccolo" is the second's.
    """
    if len(instruments) < 2:
        return ()
    turns: list[Turn] = []
    for mark in part.marks_of("word"):
        reading = _read(mark.text)
        named = [one for one in reading.instruments if one in instruments]
        if named and _is_understood(reading):
            tick = score.tick(mark.bar, mark.offset)
            his = tuple(numbers.index(one) for one in reading.numbers if one in numbers)
            holds = list(instruments).index(named[-1])
            turns.append(Turn(tick, holds, mark.bar, mark.id, his, reading.plural))
    return tuple(sorted(turns))


def announced(part: Part, naming: Naming) -> tuple[str, ...]:
    """Return the instruments of its own kind that words put into a player's hands.

    "muta in Piccolo" does, and so does "Picc." alone, unless it stands over a cue.
    """
    if naming.instrument not in lexicon().kin:
        return ()
    cues = {note.bar for note in part.notes if note.cue}
    found = (
        instrument
        for mark in part.marks_of("word")
        if (reading := _read(mark.text)).instruments and _is_understood(reading)
        if reading.turn or mark.bar not in cues
        for instrument in reading.instruments
        if _akin(instrument, naming.instrument)
    )
    return tuple(dict.fromkeys(found))


def _akin(one: str, other: str) -> bool:
    """Whether whoever plays one instrument is expected to play another."""
    kin = lexicon().kin
    return one in kin and kin[one] == kin.get(other)


def _is_understood(reading: Reading) -> bool:
    """Whether nothing else is told beside instruments, but a level or that it is ad libitum."""
    return all(word.lower() in _AD_LIB or read_levels(word) for word in reading.leftover)


def turn_at(turns: Sequence[Turn], tick: int, first: int = 0) -> int:
    """Return which instrument the players hold at a tick; they begin with `first`."""
    index = bisect_right(turns, tick, key=lambda turn: turn.tick) - 1
    return turns[index].holds if index >= 0 else first


def extra_instruments(part: Part, naming: Naming) -> tuple[dict[str, str], tuple[str, ...]]:
    """Return the instrument of each sound the file declares, where there are several kinds.

    A part "Percussion" that declares bass drum and cymbals, and whose notes say which is struck,
    has a line for each; so has a flute part that declares a piccolo.
    """
    used = {note.instrument for note in part.notes if note.instrument}
    declared = {
        one.id: resolve_name(one.name, sounds=[one.sound] if one.sound else ()).instrument
        for one in part.instruments
        if one.id in used
    }
    home = naming.instrument
    found = {id_: kind or home for id_, kind in declared.items()}
    kinds = tuple(dict.fromkeys(found.values()))
    if len(kinds) < 2 or naming.companions:
        return {}, ()
    return found, kinds
