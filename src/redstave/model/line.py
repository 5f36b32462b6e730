"""What players are told: forces, lines, levels, tones.

Levels are numbered ppp 1, pp 2, p 3, mp 4, mf 5, f 6, ff 7, fff 8 and are fractional inside
hairpins.
"""

from bisect import bisect_right
from dataclasses import dataclass, field
from functools import cached_property
from math import expm1, log1p
from typing import NamedTuple

LEVEL_NUMBERS = {"ppp": 1, "pp": 2, "p": 3, "mp": 4, "mf": 5, "f": 6, "ff": 7, "fff": 8}
# Velocities of MIDI: ppp 16, pp 32 … fff 127, evenly spaced (common practice, no source). A forte
# of 90 (MusicXML 4.0, attribute `dynamics` of <sound>) is nearest to f here too.
STEP_VELOCITY = 16
FORTE_VELOCITY = 90
LEVEL_NAMES = {number: name for name, number in LEVEL_NUMBERS.items()}


def level_name(level: float) -> str:
    """Return the nearest written level of a level number, from ppp to fff."""
    return LEVEL_NAMES[min(8, max(1, round(level)))]


def level_of_velocity(velocity: float) -> int:
    """Return the number of the written level nearest to a MIDI velocity: an estimate."""
    return min(8, max(1, int(velocity / STEP_VELOCITY + 0.5)))


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
    `players` counts heads; `section` is true for a string section, or a part of one. `of` is the id
    of the line whose players these are when they change instrument or divide; "" for a line with
    players of its own.
    """

    id: str
    name: str
    part: str
    instrument: str
    family: str  # woodwind, brass, percussion, harp, keyboard, strings, voice or unknown
    numbers: tuple[int, ...]
    players: int
    section: bool
    of: str = ""


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

    `bow` is "" (arco or blown), "pizz" or "col-legno"; `place` is "", "sul-ponticello", "sul-tasto"
    or, on the harp, "near-the-table"; `mute_kind` is "" (the usual one), "straight", "cup",
    "harmon", "plunger", "bucket" or "practice"; `snares` tells whether a drum's snares lie on;
    `ringing` is "", "let-ring" or "damped"; `string` is the open string named ("G"), "" if none;
    `measured` is true where repeated strokes are to be counted; `cause` is the id of the mark that
    said so.
    """

    tick: int
    bow: str = ""
    mute: bool = False
    place: str = ""
    tremolo: bool = False
    stopped: bool = False
    flutter: bool = False
    cause: str = ""
    mute_kind: str = ""
    snares: bool = True
    ringing: str = ""
    string: str = ""
    measured: bool = False


class Tone(NamedTuple):
    """One sounding note of a line as its players are told; tied notes are one tone.

    `line` indexes the tuple of lines; `notes` are the ids of the printed notes; ticks count from
    the start of the score, seconds from the tempo map; `midi` is sounding pitch; `players` is how
    many play this very tone; `level` and `level_stop` are the levels at its two ends;
    `accent_db` is a short rise at the attack; `continued` tones go on from another one without an
    attack of their own: a held note whose players are told something new on the way; the strokes of
    a `measured` tremolo are counted.
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
    technique: str  # "" ordinary; see `redstave.players.techniques`
    accent_db: float = 0.0
    unpitched: bool = False
    continued: bool = False
    measured: bool = False


class TempoPoint(NamedTuple):
    """The tempo from `tick` on, in quarters a minute.

    What begins at `tick` begins at `second`, after a silence of `pause` seconds. Until the next
    point the tempo moves from `quarters` to `goal`, evenly by position in the score; after the last
    point it holds.
    """

    tick: int
    second: float
    quarters: float
    goal: float
    pause: float = 0.0


def ramp_seconds(start: float, goal: float, length: float, into: float) -> float:
    """Return the seconds that the first `into` of `length` quarters last.

    The tempo goes from `start` to `goal` quarters a minute, evenly over the length.
    """
    if goal == start:
        return into * 60.0 / start
    slope = (goal - start) / length
    return 60.0 / slope * log1p(slope * into / start)


@dataclass(frozen=True)
class TempoMap:
    """Seconds from ticks and back, without unfolding repeats.

    `points` are sorted by tick, the first at 0; `assumed` says whether a tempo had to be assumed
    because the page gives none.
    """

    ticks_per_quarter: int
    points: tuple[TempoPoint, ...]
    assumed: bool

    def seconds(self, tick: float) -> float:
        """Return when what begins at a position in ticks begins, in seconds."""
        index = self._index(tick)
        point = self.points[index]
        into = (tick - point.tick) / self.ticks_per_quarter
        if index + 1 == len(self.points):
            return point.second + into * 60.0 / point.quarters
        length = (self._ticks[index + 1] - point.tick) / self.ticks_per_quarter
        return point.second + ramp_seconds(point.quarters, point.goal, length, into)

    def seconds_before(self, tick: float) -> float:
        """Return when what ends at a position in ticks ends: before a silence that stands there."""
        point = self.points[self._index(tick)]
        return self.seconds(tick) - (point.pause if point.tick == tick else 0.0)

    def tick_at(self, second: float) -> float:
        """Return the position in ticks at a time in seconds; in a silence, the one after it."""
        index = max(0, bisect_right(self._seconds, second) - 1)
        point = self.points[index]
        slope = self._slope(index)
        minutes = (second - point.second) / 60.0
        quarters = (
            point.quarters / slope * expm1(slope * minutes) if slope else minutes * point.quarters
        )
        tick = point.tick + quarters * self.ticks_per_quarter
        return min(tick, self._ticks[index + 1]) if index + 1 < len(self.points) else tick

    def tempo_at(self, tick: float) -> float:
        """Return the tempo from a position in ticks on, in quarters a minute."""
        index = self._index(tick)
        point = self.points[index]
        quarters = (tick - point.tick) / self.ticks_per_quarter
        return point.quarters + self._slope(index) * quarters

    def _index(self, tick: float) -> int:
        return max(0, bisect_right(self._ticks, tick) - 1)

    def _slope(self, index: int) -> float:
        """Return how much the tempo changes in each quarter after a point."""
        point = self.points[index]
        if point.goal == point.quarters or index + 1 == len(self.points):
            return 0.0
        length = (self._ticks[index + 1] - point.tick) / self.ticks_per_quarter
        return (point.goal - point.quarters) / length

    @cached_property
    def _ticks(self) -> tuple[int, ...]:
        return tuple(point.tick for point in self.points)

    @cached_property
    def _seconds(self) -> tuple[float, ...]:
        return tuple(point.second for point in self.points)


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
