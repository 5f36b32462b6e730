"""The tones of the original on the clock of the entry, wherever the entry plays their bars."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from redstave.original.bars import BarMap
from redstave.original.sounding import Floats, Ints, Sounding
from redstave.original.walking import Step

# A bar stands for one of another length by stretching if these are the ratios; else it is cut.
STRETCHED = (0.25, 1 / 3, 0.5, 2 / 3, 1.5, 2.0, 3.0, 4.0)


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


def passages(bars: BarMap, entry: Sounding, original: Sounding) -> list[Passage]:
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
    return [_passage(run, bars, entry, original) for run in runs]


def _passage(run: Sequence[Step], bars: BarMap, entry: Sounding, original: Sounding) -> Passage:
    there: list[float] = []
    here: list[float] = []
    for step in run:
        first, last = int(bars.rows[step.row]), int(bars.rows[step.row]) + step.rows - 1
        begin, end = entry.begin[first], entry.end[last]
        source, source_end = original.begin[step.bar], original.end[step.bar + step.bars - 1]
        there.append(source)
        here.append(begin)
        times = float(bars.augmentation)
        ratio = (end - begin) / max(source_end - source, 1e-9)
        if not np.isclose(ratio, (times, *STRETCHED), rtol=0.01).any():
            kept = min(end - begin, (source_end - source) * times)
            there.append(source + kept / times)
            here.append(begin + kept)
    there.append(source_end)
    here.append(end)
    return Passage(np.array(there), np.array(here), int(bars.rows[run[0].row]), last)


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
        start.append(np.interp(original.start[inside], passage.there, passage.here))
        stop.append(np.interp(original.stop[inside], passage.there, passage.here))
        number.append(np.full(inside.size, at))
    if not tone:
        nothing = np.zeros(0, dtype=np.int64)
        return Instances(nothing, np.zeros(0), np.zeros(0), nothing)
    return Instances(*(np.concatenate(column) for column in (tone, start, stop, number)))
