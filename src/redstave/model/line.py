"""What players are told: forces, lines, levels, tones.

Levels are numbered ppp 1, pp 2, p 3, mp 4, mf 5, f 6, ff 7, fff 8 and are fractional inside
hairpins.
"""

from dataclasses import dataclass, field
from typing import NamedTuple

LEVEL_NUMBERS = {"ppp": 1, "pp": 2, "p": 3, "mp": 4, "mf": 5, "f": 6, "ff": 7, "fff": 8}
LEVEL_NAMES = {number: name for name, number in LEVEL_NUMBERS.items()}


def level_name(level: float) -> str:
    """Return the nearest written level of a level number, from ppp to fff."""
    return LEVEL_NAMES[min(8, max(1, round(level)))]


@dataclass(frozen=True)
class Forces:
    """The players on stage: how many stand behind each string section."""

    name: str = "14.12.10.8.6"
    violins_1: int = 14
    violins_2: int = 12
    violas: int = 10
    cellos: int = 8
    basses: int = 6

    def section(self, instrument: str, number: int) -> int:
        """Return the players of a string section; `number` tells first from second violins."""
        if instrument == "violin":
            return self.violins_2 if number == 2 else self.violins_1
        return {"viola": self.violas, "cello": self.cellos, "double-bass": self.basses}[instrument]


WORKING_ORCHESTRA = Forces()


@dataclass(frozen=True, slots=True)
class Line:
    """What one player, or one group playing as one, is told to play.

    `instrument` is the id of our instrument data, "" when the name was not understood;
    `numbers` are the players' numbers (Horn 3. 4 → (3, 4)), empty when none is given;
    `players` counts heads; `section` is true for a string section.
    """

    id: str
    name: str
    part: str
    instrument: str
    family: str  # woodwind, brass, percussion, harp, keyboard, strings, voice or unknown
    numbers: tuple[int, ...]
    players: int
    section: bool


class LevelPoint(NamedTuple):
    """The level in force from `tick` on, moving linearly to the next point when `ramp` is true.

    `known` is false when nothing on the page says so and a level had to be assumed; `cause` is the
    id of the mark or span that set it ("" when assumed).
    """

    tick: int
    level: float
    ramp: bool
    known: bool
    cause: str


class TechniquePoint(NamedTuple):
    """What words have put in force from `tick` on.

    `bow` is "" (arco or blown), "pizz" or "col-legno"; `place` is "", "sul-ponticello" or
    "sul-tasto"; `cause` is the id of the mark that said so.
    """

    tick: int
    bow: str = ""
    mute: bool = False
    place: str = ""
    tremolo: bool = False
    stopped: bool = False
    flutter: bool = False
    cause: str = ""


class Tone(NamedTuple):
    """One sounding note of a line as its players are told; tied notes are one tone.

    `line` indexes the tuple of lines; `notes` are the ids of the printed notes; ticks count from
    the start of the score, seconds from the tempo map; `midi` is sounding pitch; `players` is how
    many play this very tone; `level` and `level_stop` are the levels at its two ends;
    `accent_db` is a short rise at the attack; `continued` tones go on from another one without an
    attack of their own: a held note whose players are told something new on the way.
    """

    line: int
    notes: tuple[str, ...]
    bar: int
    start: int
    stop: int
    start_s: float
    stop_s: float
    midi: float
    players: float
    level: float
    level_stop: float
    level_known: bool
    technique: str  # "" ordinary; "pizz", "mute", "tremolo", "harmonic", "stopped", "col-legno"
    accent_db: float = 0.0
    unpitched: bool = False
    continued: bool = False


@dataclass(frozen=True)
class TempoMap:
    """Seconds from ticks, without unfolding repeats.

    `points`: (tick, second, quarters a minute); `assumed` says whether a tempo had to be assumed
    because the page gives none.
    """

    ticks_per_quarter: int
    points: tuple[tuple[int, float, float], ...]
    assumed: bool

    def seconds(self, tick: int) -> float:
        """Return the time in seconds of a position in ticks."""
        low, high = 0, len(self.points) - 1
        while low < high:
            middle = (low + high + 1) // 2
            if self.points[middle][0] <= tick:
                low = middle
            else:
                high = middle - 1
        at, second, per_minute = self.points[low]
        return second + (tick - at) / self.ticks_per_quarter * 60.0 / per_minute


class OpenQuestion(NamedTuple):
    """Something the page does not tell its players, and what was assumed instead.

    `code` is a stable word for programs, `text` one sentence for the teacher. `bar` is the index of
    the bar where it first arises, -1 when it concerns the whole part or score; `part` is the id of
    the part, "" when it concerns them all.
    """

    code: str
    text: str
    bar: int = -1
    part: str = ""


@dataclass(frozen=True)
class Playing:
    """Everything derived from the page about who plays what, in one frozen value."""

    lines: tuple[Line, ...]
    tones: tuple[Tone, ...]  # sorted by start, then line, then pitch
    levels: dict[str, tuple[LevelPoint, ...]] = field(hash=False)  # by line id
    tempo: TempoMap
    open_questions: tuple[OpenQuestion, ...] = ()
    techniques: dict[str, tuple[TechniquePoint, ...]] = field(  # by line id, from words
        default_factory=dict, hash=False
    )
