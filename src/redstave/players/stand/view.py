"""What a chair sees, as frozen values. Bars are indices, offsets and ticks as in the score.

::

    Stand
    ├── passages   Passage: playing between rests, with how it is entered
    │   ├── entry  Entry: level and its cause, technique, instrument
    │   └── signs  Sign: what changes on the way
    ├── breath     Stretch: the longest without a rest
    └── open       what the page leaves open for this player
"""

from dataclasses import dataclass
from typing import NamedTuple

from redstave.model.line import OpenQuestion


class Entry(NamedTuple):
    """How a passage begins.

    `note` is the written pitch ("F4", "" if unpitched). `level` is numbered ppp 1 … fff 8. `cause`
    is "marked" (since the last note), "swell" (a swell since then has led there), "carried" (still
    in force from bar `since`) or "assumed" (no mark before); `printed` is the mark or swell as it
    stands. `state` are the techniques in
    force that are not the ordinary ones, with the bar (index) since which they hold.
    """

    bar: int
    offset: int
    note: str
    level: float
    cause: str
    since: int
    printed: str
    instrument: str
    state: tuple[tuple[str, int], ...] = ()


class Sign(NamedTuple):
    """Something that changes for the player on the way.

    `kind`: "level" (`text` as printed), "crescendo" or "diminuendo" (up to the end of `last_bar`;
    `text` is the level it leads to, `told` whether a mark says so), "stress" (sf, fz: `text`),
    "technique" or "instrument" (`seconds` are what there is between the last note before and the
    first after, None before the first note), "rehearsal", "tempo" and "word" (as printed).
    """

    kind: str
    bar: int
    offset: int
    text: str
    last_bar: int = -1
    told: bool = True
    seconds: float | None = None


class Rest(NamedTuple):
    """Silence before a passage: whole bars, and seconds from the last note (or the beginning)."""

    bars: int
    seconds: float


class Stretch(NamedTuple):
    """Playing without a rest or breath mark, from one bar to another, in seconds."""

    bar: int
    last_bar: int
    seconds: float


@dataclass(frozen=True, slots=True)
class Passage:
    """Playing between two long rests; `low` and `high` are written pitches, "" if unpitched."""

    bar: int
    last_bar: int
    seconds: float
    rest: Rest
    entry: Entry
    signs: tuple[Sign, ...]
    low: str
    high: str


@dataclass(frozen=True, slots=True)
class Stand:
    """The page from one chair.

    `plays` counts the bars in which the player plays; `breath` is None for those who need none.
    """

    name: str
    instruments: tuple[str, ...]
    bars: int
    plays: int
    passages: tuple[Passage, ...]
    breath: Stretch | None
    open: tuple[OpenQuestion, ...]
    tempo_assumed: bool
