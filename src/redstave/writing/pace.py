"""A tempo map as MIDI tells it: steps of tempo, and silences as a few ticks that last long.

MIDI knows no silence without length. A silence before a position is written by letting the last
ticks before it last as long as the silence; what ends there ends before those ticks.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import pairwise
from math import ceil, gcd
from typing import NamedTuple

from redstave.model.line import TempoMap

FINEST = 32_767  # ticks in a quarter: MIDI has 15 bits
USUAL = 480
MANY_DIVISORS = 27_720  # of a quarter: all numbers up to 12
SLOWEST = (1 << 24) - 1  # microseconds in a quarter: MIDI has 24 bits
STEPS = 4  # in a quarter, where the tempo moves


class Step(NamedTuple):
    """From this MIDI tick on, a quarter lasts so many microseconds."""

    tick: int
    microseconds: int


@dataclass(frozen=True)
class Pace:
    """The tempo of a score in MIDI's terms; `resolution` in MIDI ticks a quarter."""

    tempo: TempoMap
    resolution: int

    def tick(self, position: float) -> int:
        """Return a position of the score in MIDI ticks."""
        return round(Fraction(position) * self.resolution / self.tempo.ticks_per_quarter)

    def end(self, position: float) -> int:
        """Return the MIDI tick at which what ends at a position of the score ends."""
        tick = self.tick(position)
        return tick - self._silences.get(tick, 0)

    @cached_property
    def steps(self) -> tuple[Step, ...]:
        """The steps of tempo; rounding in one is made good in the next."""
        bounds = self._bounds()
        steps: list[Step] = []
        now = self._seconds(bounds[0])
        for tick, following in pairwise(bounds):
            quarters = (following - tick) / self.resolution
            exact = (self._seconds(following) - now) / quarters * 1e6
            microseconds = min(SLOWEST, max(1, round(exact)))
            steps.append(Step(tick, microseconds))
            now += microseconds * quarters / 1e6
        return (*steps, Step(bounds[-1], round(60e6 / self.tempo.points[-1].quarters)))

    def _seconds(self, tick: int) -> float:
        return self.tempo.seconds(tick * self.tempo.ticks_per_quarter / self.resolution)

    @cached_property
    def _silences(self) -> Mapping[int, int]:
        """The MIDI ticks that a silence takes, by the tick before which it stands."""
        return {
            self.tick(point.tick): ceil(2 * point.pause * 1e6 * self.resolution / SLOWEST)
            for point in self.tempo.points
            if point.pause and point.tick
        }

    def _bounds(self) -> list[int]:
        bounds = {0}
        points = self.tempo.points
        for point, following in pairwise(points):
            begin, end = self.tick(point.tick), self.tick(following.tick)
            bounds |= {begin, end}
            if point.goal != point.quarters:
                bounds |= set(range(begin, end, max(1, self.resolution // STEPS)))
        for tick, length in self._silences.items():
            bounds -= set(range(tick - length + 1, tick))
            bounds.add(max(0, tick - length))
        return sorted(bounds)


def pace_of(tempo: TempoMap, positions: set[int]) -> Pace:
    """Return the pace of a tempo map in which every one of the positions is a whole tick.

    Where no resolution of MIDI allows that, positions are rounded to 1/27720 of a quarter.
    """
    quarter = tempo.ticks_per_quarter
    common = gcd(quarter, *positions)
    quarter //= common
    if quarter > FINEST:
        return Pace(tempo, MANY_DIVISORS)
    return Pace(tempo, quarter * ceil(USUAL / quarter) if quarter < USUAL else quarter)
