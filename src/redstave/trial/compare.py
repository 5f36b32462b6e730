"""What is heard before and after some changes, line by line."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from redstave.analysis import Analysis
from redstave.analysis.groups import weighted_median
from redstave.analysis.hearing import Hearing
from redstave.analysis.passages import Heard, heard
from redstave.analysis.state import State
from redstave.base.pause import collector_paused
from redstave.model.change import Change
from redstave.model.line import Line
from redstave.trial.apply import apply

Ints = NDArray[np.int64]
RANK = {State.COVERED: 0, State.DOUBTFUL: 1, State.HEARD: 2}


class Outcome(NamedTuple):
    """What is heard of a line in some bars; loudness (medians over time) in sone.

    `loudness_sone` is that of its strand alone, `partial_sone` amid all else.
    """

    heard: Heard
    loudness_sone: float
    partial_sone: float


class LineTrial(NamedTuple):
    """One line before and after; None where it does not sound (or nobody knows the instrument)."""

    line: Line
    before: Outcome | None
    after: Outcome | None

    @property
    def lost(self) -> bool:
        """Whether the line still plays and is now less sure to be heard, or covered."""
        return self._change < 0

    @property
    def won(self) -> bool:
        """Whether the line is now surer to be heard."""
        return self._change > 0

    @property
    def _change(self) -> int:
        if self.before is None or self.after is None:
            return 0
        return RANK[self.after.heard.state] - RANK[self.before.heard.state]


@dataclass(frozen=True)
class Trial:
    """Some changes with both readings of the score; `first` to `last` are the bars compared."""

    changes: tuple[Change, ...]
    before: Analysis
    after: Analysis
    first: int
    last: int

    @cached_property
    def lines(self) -> tuple[LineTrial, ...]:
        """Every line that sounds in these bars, before or after, in the order of the page."""
        everyone = self.after.playing.lines
        pairs = (
            LineTrial(
                line,
                outcome(self.before.hearing, index, self.first, self.last),
                outcome(self.after.hearing, index, self.first, self.last),
            )
            for index, line in enumerate(everyone)
        )
        return tuple(pair for pair in pairs if pair.before or pair.after)


def attempt(analysis: Analysis, changes: Sequence[Change]) -> Trial:
    """Make some changes and listen again; InputError where one of them alters nothing."""
    with collector_paused():
        playing = apply(analysis.playing, changes, analysis.score.bars, analysis.book)
        after = analysis.retold(playing)
        _ = after.hearing
    return Trial(
        tuple(changes),
        analysis,
        after,
        min(change.first for change in changes),
        max(change.last for change in changes),
    )


def rows_of(hearing: Hearing, line: int, first: int, last: int) -> Ints:
    """Return the rows of a line (index) in the bars `first` to `last` (indices, both inside)."""
    bar = hearing.slices.bar
    low, high = np.searchsorted(bar, first), np.searchsorted(bar, last, side="right")
    begin, end = np.searchsorted(hearing.slices.row_slice, (low, high))
    rows: Ints = np.flatnonzero(hearing.line[begin:end] == line) + begin
    return rows


def outcome(hearing: Hearing, line: int, first: int, last: int) -> Outcome | None:
    """Return what is heard of a line (index) in some bars, None where it does not sound."""
    rows = rows_of(hearing, line, first, last)
    if rows.size == 0:
        return None
    seconds = hearing.slices.seconds_of(rows)
    return Outcome(
        heard(hearing, rows),
        weighted_median(hearing.rows.loudness[rows], seconds),
        weighted_median(hearing.rows.partial[rows], seconds),
    )
