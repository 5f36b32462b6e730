"""The tones of the original on the clock of the entry, wherever the entry plays their bars."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from redstave.original.bars import BarMap
from redstave.original.sounding import Floats, Ints, Sounding
from redstave.original.walking import Step

BEFORE = 1e-6  # quarters: what stops at a barline stops before it, wherever the next bar lies
AGREES = 0.1  # quarters between attacks that are one


class Passage(NamedTuple):
    """Bars of the entry that follow the original without a break.

    In quarters, `there` of the original is at `here` of the entry; in between evenly.
    """

    there: Floats
    here: Floats
    first: int
    last: int


@dataclass(frozen=True)
class Instances:
    """Tones of the original where the entry plays their bars, an entry an instance.

    `tone` indexes the arrays of the original; `start` and `stop` are quarters of the entry;
    `passage` numbers the passages.
    """

    tone: Ints
    start: Floats
    stop: Floats
    passage: Ints


def passages(bars: BarMap) -> list[Passage]:
    """Return the passages of an entry in the order of playing."""
    runs: list[list[Step]] = []
    for step in bars.steps:
        before = runs[-1][-1] if runs else None
        if (
            before is not None
            and step.bar == before.bar + before.bars
            and step.row == before.row + before.rows
            and bars.rows[step.row] == bars.rows[before.row] + before.rows
        ):
            runs[-1].append(step)
        else:
            runs.append([step])
    return [_passage(run, bars) for run in runs]


def _passage(run: Sequence[Step], bars: BarMap) -> Passage:
    original, entry = bars.followed, bars.following
    there: list[float] = []
    here: list[float] = []
    first = last = int(bars.rows[run[0].row])
    for step in run:
        begins = int(bars.rows[step.row])
        last = begins + step.rows - 1
        beside = _Beside(
            float(original.begin[step.bar]),
            float(original.end[step.bar + step.bars - 1]),
            float(entry.begin[begins]),
            float(entry.end[last]),
        )
        stretched = [beside.there, beside.there_end], [beside.here, beside.here_end]
        cut = beside.cut(float(bars.augmentation))
        if np.isclose(beside.ratio, float(bars.augmentation), rtol=0.01):
            best = stretched
        else:
            up = bars.transposition
            ways = [cut, stretched]
            if min(beside.there, beside.here) < 0.0:  # an upbeat
                ways.append(beside.cut_before(float(bars.augmentation)))
            best = max(ways, key=lambda way: _agreeing(entry, original, up, *way))
        there.extend(best[0])
        here.extend(best[1])
    return Passage(np.array(there), np.array(here), first, last)


class _Beside(NamedTuple):
    """Where bars that stand beside each other begin and end, in quarters."""

    there: float
    there_end: float
    here: float
    here_end: float

    @property
    def ratio(self) -> float:
        """How much longer the bars of the entry are."""
        return (self.here_end - self.here) / max(self.there_end - self.there, 1e-9)

    def cut(self, times: float) -> tuple[list[float], list[float]]:
        """Return the way of going along them in which the longer one has something left over."""
        kept = min(self.here_end - self.here, (self.there_end - self.there) * times)
        return (
            [self.there, self.there + kept / times, self.there_end],
            [self.here, self.here + kept, self.here_end],
        )

    def cut_before(self, times: float) -> tuple[list[float], list[float]]:
        """Return the way of going along them in which both end together, as upbeats do."""
        kept = min(self.here_end - self.here, (self.there_end - self.there) * times)
        return (
            [self.there, self.there_end - kept / times, self.there_end],
            [self.here, self.here_end - kept, self.here_end],
        )


def _agreeing(
    entry: Sounding, original: Sounding, up: int, there: list[float], here: list[float]
) -> int:
    """Return how many sources begin when a tone of their pitch class does, going along that way."""
    sources = slice(*np.searchsorted(original.start, (there[0], there[-1])))
    tones = slice(*np.searchsorted(entry.start, (here[0], here[-1])))
    moved = np.interp(original.start[sources], there, here)
    near = np.abs(moved[:, None] - entry.start[None, tones]) < AGREES
    alike = (original.midi[sources, None] + up - entry.midi[None, tones]) % 12 == 0
    return int((near & alike).any(axis=1).sum())


def instances(some: Sequence[Passage], original: Sounding) -> Instances:
    """Return the tones of the original in every passage; what was struck before is cut."""
    tone, start, stop, number = [], [], [], []
    for at, passage in enumerate(some):
        begin, end = passage.there[0], passage.there[-1]
        inside = np.flatnonzero(
            (original.start < end)
            & ((original.stop > begin) | ((original.start >= begin) & (original.stop >= begin)))
        )
        tone.append(inside)
        begins = np.interp(original.start[inside], passage.there, passage.here)
        start.append(begins)
        stops = np.interp(original.stop[inside] - BEFORE, passage.there, passage.here)
        stop.append(np.maximum(begins, stops + BEFORE))
        number.append(np.full(inside.size, at))
    if not tone:
        nothing = np.zeros(0, dtype=np.int64)
        return Instances(nothing, np.zeros(0), np.zeros(0), nothing)
    return Instances(*(np.concatenate(column) for column in (tone, start, stop, number)))
