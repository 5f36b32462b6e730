"""How good the players are: limits of hands, breath and tongue depend on it."""

from enum import StrEnum

from redstave.base.citation import Quantity
from redstave.base.errors import DataError


class PlayersLevel(StrEnum):
    """The players for whom a score is judged."""

    SCHOOL = "school"
    CONSERVATOIRE = "conservatoire"
    PROFESSIONAL = "professional"


def for_level(limit: Quantity, level: PlayersLevel) -> float:
    """Return the limit for these players from a cited row: school, conservatoire, professional.

    A single number holds for them all; anything else is a DataError.
    """
    row = limit.numbers
    if len(row) not in (1, len(PlayersLevel)):
        raise DataError(f"a limit by players must be one value or three, not {row}")
    return row[0] if len(row) == 1 else row[list(PlayersLevel).index(level)]
