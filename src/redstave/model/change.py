"""What could be told to players instead: a proposed change, for some lines in some bars.

A change never touches the page. It says who (lines), where (whole bars) and what; applying it to a
Playing gives another Playing (`redstave.trial`).
"""

from dataclasses import dataclass
from typing import TypeAlias


@dataclass(frozen=True, slots=True)
class Level:
    """Everything at one level (numbered as in `model.line`), hairpins included."""

    level: float


@dataclass(frozen=True, slots=True)
class Step:
    """Some levels louder (+) or softer (-), hairpins kept; never below `softest`, above `loudest`.

    A tone that lies beyond a bound already is not moved towards it.
    """

    steps: float
    softest: float = 1.0
    loudest: float = 8.0


@dataclass(frozen=True, slots=True)
class Players:
    """So many players of the line; notes that sound together share them, at least one for each."""

    players: float


@dataclass(frozen=True, slots=True)
class LeftOut:
    """The line is silent."""


@dataclass(frozen=True, slots=True)
class TakenOver:
    """Another instrument plays it: its id in our data, the new line's name and family.

    `players` play each tone, `section` tells whether they are a string section; `octaves` moves
    the sounding pitch.
    """

    instrument: str
    name: str
    family: str
    players: int = 1
    section: bool = False
    octaves: int = 0


@dataclass(frozen=True, slots=True)
class Octave:
    """So many octaves higher (+) or lower (-)."""

    octaves: int


@dataclass(frozen=True, slots=True)
class Technique:
    """Another technique, named as in `model.line.Tone`; "" is ordinary playing."""

    technique: str


Alteration: TypeAlias = Level | Step | Players | LeftOut | TakenOver | Octave | Technique


@dataclass(frozen=True, slots=True)
class Change:
    """One proposal: the lines (ids), the bars `first` to `last` (indices, both inside), and what.

    A sustained tone that is held across the edge of the bars is changed from the barline on; what
    is plucked or struck belongs to the bar in which it begins.
    """

    lines: tuple[str, ...]
    first: int
    last: int
    what: Alteration
