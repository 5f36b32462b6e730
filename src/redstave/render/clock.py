"""When a place of the score is heard: by the tempo map, or in a recording laid against it."""

from bisect import bisect_right
from collections.abc import Sequence
from typing import NamedTuple

from redstave.model.line import TempoMap
from redstave.model.score import Score


class Heard(NamedTuple):
    """Where in a recording a bar begins: its index, and seconds from the recording's start."""

    bar: int
    second: float


class Clock:
    """Seconds of ticks.

    Between two bars whose seconds are known time passes as the tempo map says, stretched evenly;
    outside them as fast as the tempo map says. `pairs` rise in bars and in seconds.
    """

    def __init__(self, score: Score, tempo: TempoMap, pairs: Sequence[Heard] = ()) -> None:
        self._tempo = tempo
        self._mapped = [tempo.seconds(score.bars[one.bar].start) for one in pairs]
        self._heard = [one.second for one in pairs]
        self.end = self.second(score.bars[-1].start + score.bars[-1].length)

    def second(self, tick: float) -> float:
        """Return when a place in ticks is heard, never before 0."""
        mapped = self._tempo.seconds(tick)
        if not self._mapped:
            return mapped
        at = bisect_right(self._mapped, mapped) - 1
        if at < 0:
            return max(0.0, self._heard[0] - (self._mapped[0] - mapped))
        into = mapped - self._mapped[at]
        if at + 1 == len(self._mapped):
            return self._heard[at] + into
        stretch = self._heard[at + 1] - self._heard[at]
        return self._heard[at] + into * stretch / (self._mapped[at + 1] - self._mapped[at])
