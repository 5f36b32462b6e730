"""Long crescendi that most of those who play make together, and what they lead to."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from redstave.analysis.analysis import Analysis
from redstave.analysis.dynamics import Kind, events
from redstave.analysis.form import bar_levels
from redstave.analysis.sections import sounding_share
from redstave.model.line import LEVEL_NUMBERS, LevelPoint

Flags = NDArray[np.bool_]

SOFT = LEVEL_NUMBERS["p"]
MOST_OF_A_BAR = 0.5


@dataclass(frozen=True, slots=True)
class Rise:
    """Bars `first` to `last` (indices) in which most lines that play grow louder; then `arrival`.

    `lines_before` and `lines_after` count the lines that sound in the last bar and at the arrival,
    `level_start` and `level_after` are mean written levels of the first bar and of the arrival;
    `told_soft` is true where the page says there that softness is meant.
    """

    first: int
    last: int
    lines_before: float
    lines_after: float
    level_start: float
    level_after: float
    told_soft: bool

    @property
    def bars(self) -> int:
        """How many bars it lasts."""
        return self.last - self.first + 1

    @property
    def arrival(self) -> int:
        """The bar (index) it leads to."""
        return self.last + 1


def rises(analysis: Analysis, least_share: float) -> Iterator[Rise]:
    """Yield the rises that at least this share of the sounding lines make together.

    One that leads into silence, or to the end of the piece, is left out.
    """
    bars = len(analysis.score.bars)
    share = sounding_share(analysis.slices, analysis.playing, bars)
    sounds, lines, levels = share > 0.0, share.sum(axis=1), bar_levels(analysis)
    rising = (_rising(analysis) & sounds).sum(axis=1)
    together = (rising > 0) & (rising >= least_share * sounds.sum(axis=1))
    soft = _soft_bars(analysis)
    for first, last in _runs(together):
        after = last + 1
        if after < bars and sounds[after].any():
            yield Rise(
                first,
                last,
                float(lines[last]),
                float(lines[after]),
                float(levels[first]),
                float(levels[after]),
                after in soft,
            )


def _rising(analysis: Analysis) -> Flags:
    """Return in which bars each line is told to grow louder for most of the bar [bars, lines]."""
    score, playing = analysis.score, analysis.playing
    found = np.zeros((len(score.bars), len(playing.lines)), dtype=np.bool_)
    starts = np.array([bar.start for bar in score.bars])
    lengths = np.array([bar.length for bar in score.bars])
    for at, line in enumerate(playing.lines):
        for begin, end in _ramps(playing.levels.get(line.id, ())):
            inside = np.minimum(starts + lengths, end) - np.maximum(starts, begin)
            found[:, at] |= inside >= MOST_OF_A_BAR * lengths
    return found


def _ramps(points: tuple[LevelPoint, ...]) -> Iterator[tuple[int, int]]:
    for here, after in pairwise(points):
        if here.ramp and after.level > here.level:
            yield here.tick, after.tick


def _soft_bars(analysis: Analysis) -> frozenset[int]:
    """Return the bars (indices) in which somebody is told p or softer, or that it is sudden."""
    return frozenset(
        event.bar
        for part in analysis.score.parts
        for event in events(analysis.score, part)
        if event.sudden
        or (event.kind in (Kind.LEVEL, Kind.BURST) and (event.level or SOFT + 1) <= SOFT)
    )


def _runs(flags: Flags) -> Iterator[tuple[int, int]]:
    """Yield the first and last index of each run of true flags."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], flags, [False]]).astype(np.int8)))
    for begin, end in zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True):
        yield begin, end - 1
