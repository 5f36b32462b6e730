"""The players of a shared wind stave one by one: numbers, lines, changes of instrument."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple

from redstave.instruments.names import Naming
from redstave.instruments.wording import read_name
from redstave.model.line import Line
from redstave.model.score import Part
from redstave.players.calling import player_name
from redstave.players.turns import Turn

FOUR_HORNS = (0, 2, 1, 3)  # from the top of a chord: 1, 3, 2, 4 (reference texts on horns)


class Desk(NamedTuple):
    """One player of a shared stave.

    `number` is the player's number, 0 for a player of another instrument; `lines` gives his line
    for each instrument (index) he plays, the first one first; `turns` are his changes.
    """

    number: int
    lines: Mapping[int, int]
    turns: tuple[Turn, ...]

    @property
    def first(self) -> int:
        """The instrument (index) he begins with."""
        return next(iter(self.lines))


def numbers_of(naming: Naming) -> tuple[int, ...]:
    """Return the numbers of the players of a part's own instrument, from 1 if it gives none."""
    count = naming.players - len(naming.companions)
    given = len(naming.numbers) == count
    return naming.numbers if given else tuple(range(1, count + 1))


def desks_of(
    part: Part,
    naming: Naming,
    instruments: Sequence[Line],
    turns: Sequence[Turn],
    sounds: Mapping[str, int],
) -> tuple[tuple[Desk, ...], tuple[Line, ...]]:
    """Return the players of a stave and their lines; `instruments` has one line an instrument."""
    own = len(instruments) - len(naming.companions)
    numbers = numbers_of(naming)
    count = len(numbers)
    lines: list[Line] = []
    desks: list[Desk] = []
    for place, number in enumerate(numbers):
        his = tuple(turn for turn in turns if _is_his(turn, place, count, own))
        held = {0, *sounds.values(), *(turn.holds for turn in his)}
        played = sorted(index for index in held if index < own)
        first = len(lines)
        lines.extend(_lines_of(part, instruments, played, number if count > 1 else 0))
        desks.append(Desk(number, {i: first + at for at, i in enumerate(played)}, his))
    for index in range(own, len(instruments)):
        desks.append(Desk(0, {index: len(lines)}, ()))
        lines.append(instruments[index])
    return tuple(desks), tuple(lines)


def _is_his(turn: Turn, place: int, count: int, own: int) -> bool:
    """Whether a change of instrument is this player's.

    A number says whose it is; without one, a plural and the way back to the first instrument are
    everyone's, the rest is the last player's (auxiliaries go to the second chairs, reference rk).
    """
    if turn.holds >= own:
        return False
    if turn.players:
        return place in turn.players
    return turn.plural or turn.holds == 0 or place == count - 1


def _lines_of(
    part: Part, instruments: Sequence[Line], played: Sequence[int], number: int
) -> list[Line]:
    """Return the lines of one player; `number` 0 for the only one of his kind on the stave."""
    lines = []
    for index in played:
        line = instruments[index]
        home = f"{part.id}.{number}" if number else part.id
        name = player_name(instruments[0].name, number) if number else instruments[0].name
        if index:
            name = f"{name} ({line.instrument.replace('-', ' ')})"
        lines.append(
            replace(
                line,
                id=f"{home}.{line.instrument}" if index else home,
                name=name,
                numbers=(number,) if number else line.numbers,
                players=1,
                of=home if index else "",
            )
        )
    return lines


def seats_of(part: Part, naming: Naming, numbers: Sequence[int]) -> dict[str, int]:
    """Return the player (from 0) of each instrument the file declares, where it numbers them.

    Some programs declare "Flute 1" and "Flute 2" on a shared stave and say for each note whose it
    is.
    """
    used = {note.instrument for note in part.notes if note.instrument}
    found: dict[str, int] = {}
    for one in part.instruments:
        reading = read_name(one.name)
        own = reading.instruments[:1] == naming.instruments[:1] and len(reading.numbers) == 1
        if one.id in used and own and reading.numbers[0] in numbers:
            found[one.id] = numbers.index(reading.numbers[0])
    return found if len(set(found.values())) > 1 else {}


def order_of(instrument: str, numbers: Sequence[int]) -> tuple[int, ...]:
    """Return the players of a full chord from its top, counted from 0."""
    if instrument == "horn" and tuple(numbers) == (1, 2, 3, 4):
        return FOUR_HORNS
    return tuple(range(len(numbers)))
