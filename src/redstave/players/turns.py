"""When the players of a part change instrument: "Piccolo.", "muta in Corno inglese", "Gr. Fl."."""

from bisect import bisect_right
from collections.abc import Sequence
from typing import NamedTuple

from redstave.instruments.names import Naming, resolve_name
from redstave.instruments.wording import read_name
from redstave.model.score import Part, Score


class Turn(NamedTuple):
    """From `tick` on the players hold instrument `holds` of their part."""

    tick: int
    holds: int
    bar: int
    cause: str


def turns_of(score: Score, part: Part, instruments: Sequence[str]) -> tuple[Turn, ...]:
    """Return the changes that words in the part announce, among the instruments it has.

    "muta in Piccolo" counts from where it stands: it stands in the rest before the piccolo plays.
    """
    if len(instruments) < 2:
        return ()
    turns = []
    for mark in part.marks_of("word"):
        reading = read_name(mark.text)
        named = [one for one in reading.instruments if one in instruments]
        if named and not reading.leftover:
            tick = score.bars[mark.bar].start + mark.offset
            turns.append(Turn(tick, list(instruments).index(named[-1]), mark.bar, mark.id))
    return tuple(sorted(turns))


def turn_at(turns: Sequence[Turn], tick: int) -> int:
    """Return which instrument the players hold at a tick; they begin with the first."""
    index = bisect_right(turns, tick, key=lambda turn: turn.tick) - 1
    return turns[index].holds if index >= 0 else 0


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
