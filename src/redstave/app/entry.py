"""Open an entry: from a path to an Analysis, under the forces asked for."""

import re
from pathlib import Path

from redstave.analysis import Analysis, PlayersLevel
from redstave.app.marked_entry import unmarked
from redstave.base.errors import InputError
from redstave.instruments import Hall, default_hall, hall, halls, seats
from redstave.model.line import WORKING_ORCHESTRA, Forces
from redstave.reading import read

SECTIONS = 5


def open_entry(
    path: Path,
    forces: Forces = WORKING_ORCHESTRA,
    heard_in: Hall | None = None,
    players_level: PlayersLevel = PlayersLevel.CONSERVATOIRE,
) -> Analysis:
    """Read a score file and return its Analysis; InputError says in one sentence why it cannot.

    Remarks of ours on its page are taken off.
    """
    place = heard_in or default_hall()
    return Analysis(unmarked(read(path)), forces, place, players_level=players_level)


def parse_players(name: str) -> PlayersLevel:
    """Return how good the players are by its name; an InputError lists the names there are."""
    try:
        return PlayersLevel(name)
    except ValueError:
        names = ", ".join(PlayersLevel)
        raise InputError(f'there are no "{name}" players; the players are {names}') from None


def parse_hall(name: str, seat: str = "stalls", tail: bool = False) -> Hall:
    """Return a hall by name and seat; an InputError lists the halls or seats there are."""
    if name not in halls():
        raise InputError(f'there is no hall "{name}"; the halls are {", ".join(halls())}')
    if seat not in seats():
        raise InputError(f'there is no seat "{seat}"; the seats are {", ".join(seats())}')
    return hall(name, seat, tail)


def parse_forces(text: str) -> Forces:
    """Read a string strength such as "14.12.10.8.6" (violins I, II, violas, cellos, basses)."""
    numbers = [int(word) for word in re.findall(r"\d+", text)]
    if len(numbers) != SECTIONS or not re.fullmatch(r"\d+([.,/ -]\d+){4}", text.strip()):
        raise InputError(
            f'the forces "{text}" are not five numbers; write the players of first violins, second '
            "violins, violas, cellos and basses, such as 14.12.10.8.6"
        )
    if min(numbers) < 1:
        raise InputError(
            f'the forces "{text}" leave a section empty; give each at least one player'
        )
    return Forces(".".join(map(str, numbers)), *numbers)
