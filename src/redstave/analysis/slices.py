"""Cut time into slices in which no tone starts or ends; a slice never crosses a barline."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from redstave.analysis.columns import columns
from redstave.model.line import Playing
from redstave.model.score import Score

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Slices:
    """The slices that sound, and the rows: one row for each tone in each of its slices.

    `start`, `stop` (ticks), `start_s`, `stop_s` (seconds) and `bar` (index) have one entry a slice;
    `row_slice` (sorted) and `row_tone` have one entry a row and index slices and `Playing.tones`.
    """

    start: Ints
    stop: Ints
    start_s: Floats
    stop_s: Floats
    bar: Ints
    row_slice: Ints
    row_tone: Ints

    @property
    def seconds(self) -> Floats:
        """The length of each slice in seconds."""
        return self.stop_s - self.start_s

    @property
    def row_seconds(self) -> Floats:
        """The length in seconds of the slice of each row."""
        seconds: Floats = self.seconds[self.row_slice]
        return seconds

    def seconds_of(self, rows: Ints) -> Floats:
        """Return the length in seconds of the slices of some rows."""
        seconds: Floats = self.seconds[self.row_slice[rows]]
        return seconds

    @property
    def row_counts(self) -> Ints:
        """The number of rows of each slice."""
        return np.bincount(self.row_slice, minlength=self.start.size).astype(np.int64)

    def only(self, chosen: Ints) -> tuple["Slices", Ints]:
        """Return some slices (numbers in rising order) alone, and the numbers of their rows."""
        counts = self.row_counts
        rows = np.repeat((np.cumsum(counts) - counts)[chosen], counts[chosen])
        rows += _counting(counts[chosen])
        part = Slices(
            self.start[chosen],
            self.stop[chosen],
            self.start_s[chosen],
            self.stop_s[chosen],
            self.bar[chosen],
            np.repeat(np.arange(chosen.size), counts[chosen]),
            self.row_tone[rows],
        )
        return part, rows


def cut(score: Score, playing: Playing, unheard: frozenset[int] = frozenset()) -> Slices:
    """Cut a score into slices, leaving out the lines `unheard` (indices; unknown instruments).

    Grace notes take no time of their own and are left out too.
    """
    tones = columns(playing.tones)
    heard = (tones.stop > tones.start) & ~np.isin(tones.line, list(unheard))
    index = np.flatnonzero(heard)
    start, stop = tones.start[index], tones.stop[index]
    bar_starts = np.array([bar.start for bar in score.bars], dtype=np.int64)
    edges = np.unique(np.concatenate([start, stop, bar_starts]))
    first = np.searchsorted(edges, start)
    count = np.searchsorted(edges, stop) - first
    row_tone = np.repeat(index, count)
    row_edge = np.repeat(first, count) + _counting(count)
    order = np.argsort(row_edge, kind="stable")
    sounding, row_slice = np.unique(row_edge[order], return_inverse=True)
    begin, end = edges[sounding], edges[sounding + 1]
    begins, ends = playing.tempo.seconds, playing.tempo.seconds_before
    return Slices(
        start=begin,
        stop=end,
        start_s=np.array([begins(int(tick)) for tick in begin]),
        stop_s=np.array([ends(int(tick)) for tick in end]),
        bar=np.searchsorted(bar_starts, begin, side="right") - 1,
        row_slice=row_slice.astype(np.int64),
        row_tone=row_tone[order],
    )


def _counting(count: Ints) -> Ints:
    """Return 0, 1, … count[0]-1, 0, 1, … count[1]-1, … as one array."""
    total = int(count.sum())
    begins = np.concatenate([[0], np.cumsum(count)[:-1]]) if count.size else np.zeros(0, np.int64)
    counting: Ints = np.arange(total, dtype=np.int64) - np.repeat(begins, count).astype(np.int64)
    return counting
