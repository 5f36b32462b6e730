"""How well a part's notes fit the harmony of all other instruments, as they are and transposed.

For every moment the pitch classes that instruments of another kind sound are collected; the part is
then moved by 0 to 11 semitones. A note that somebody else has too fits; one that lies a semitone
beside somebody's note and agrees with nobody's rubs. The fit is the share of time of the first less
that of the second. Instruments of the same kind are no witnesses: a wrong transposition is mostly
shared by all of them.
"""

from bisect import bisect_right
from collections.abc import Iterator
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from redstave.analysis.analysis import Analysis
from redstave.analysis.page import tick_of
from redstave.model.score import Part

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]

LEAST_CLASSES = 2  # pitch classes that others must sound to be a harmony


class Fit(NamedTuple):
    """A part from one tick on until its declared transposition changes.

    `agrees` and `score` have a value for each transposition by 0 to 11 semitones upwards: the share
    of time in which the part agrees with the others, and that less the share in which it rubs.
    `first` are the notes it begins with, `last_bar` is the index of its last bar.
    """

    part: Part
    start: int
    notes: int
    quarters: float
    agrees: Floats
    score: Floats
    declared: int
    first: tuple[str, ...]
    last_bar: int

    @property
    def best(self) -> int:
        """By how many semitones upwards (0 to 11) the part fits best."""
        return int(self.score.argmax())

    @property
    def gain(self) -> float:
        """How much better it fits there than as it stands."""
        return float(self.score.max() - self.score[0])


def fits(analysis: Analysis, doubtful: frozenset[str] = frozenset()) -> Iterator[Fit]:
    """Yield the fit of every pitched part, percussion left out.

    Instruments (ids) whose parts are doubtful themselves are no witnesses.
    """
    table = _Table(analysis, doubtful)
    for part in analysis.score.parts:
        own = [at for at, line in enumerate(analysis.playing.lines) if line.part == part.id]
        families = {analysis.playing.lines[at].family for at in own}
        if own and families.isdisjoint({"percussion", "unknown"}):
            yield from table.of_part(part, own)


class _Table:
    """What sounds when, by pitch class and kind of instrument."""

    def __init__(self, analysis: Analysis, doubtful: frozenset[str]) -> None:
        self._analysis = analysis
        slices, tones, lines = analysis.slices, analysis.playing.tones, analysis.playing.lines
        self._kinds = list(dict.fromkeys(line.instrument for line in lines))
        kind = np.array([self._kinds.index(line.instrument) for line in lines], dtype=np.int64)
        self._line = np.array([tone.line for tone in tones], dtype=np.int64)[slices.row_tone]
        midi = np.array([round(tone.midi) for tone in tones], dtype=np.int64)
        self._midi = midi[slices.row_tone]
        pitched = np.array([not tone.unpitched for tone in tones], dtype=np.bool_)
        self._pitched: Flags = pitched[slices.row_tone]
        self._quarters = (slices.stop - slices.start) / analysis.score.ticks_per_quarter
        count = np.zeros((slices.start.size, 12, len(self._kinds)), dtype=np.int32)
        sure = np.array([line.instrument not in doubtful for line in lines], dtype=np.bool_)
        rows = np.flatnonzero(self._pitched & sure[self._line])
        at = (slices.row_slice[rows], self._midi[rows] % 12, kind[self._line[rows]])
        np.add.at(count, at, 1)
        self._count = count

    @cached_property
    def _all(self) -> Ints:
        found: Ints = self._count.sum(axis=2)
        return found

    def of_part(self, part: Part, own: list[int]) -> Iterator[Fit]:
        """Yield the fit of a part for each of its declared transpositions."""
        lines, slices = self._analysis.playing.lines, self._analysis.slices
        same = [self._kinds.index(one) for one in {lines[at].instrument for at in own}]
        others = (self._all - self._count[:, :, same].sum(axis=2)) > 0
        rows = np.flatnonzero(self._pitched & np.isin(self._line, own))
        rows = rows[others[slices.row_slice[rows]].sum(axis=1) >= LEAST_CLASSES]
        declared = sorted(
            {
                tick_of(self._analysis.score, mark): round(mark.value)
                for mark in part.marks_of("transposition")
            }.items()
        ) or [(0, 0)]
        starts = [tick for tick, _ in declared]
        starts[0] = 0
        tick = slices.start[slices.row_slice[rows]]
        place = np.array([bisect_right(starts, one) - 1 for one in tick.tolist()], dtype=np.int64)
        for at, (_, shift) in enumerate(declared):
            if (here := rows[place == at]).size:
                yield self._fit(part, starts[at], shift, here, others)

    def _fit(self, part: Part, start: int, declared: int, rows: Ints, others: Flags) -> Fit:
        slices, tones = self._analysis.slices, self._analysis.playing.tones
        at = slices.row_slice[rows]
        pitch = (self._midi[rows][:, None] + np.arange(12)) % 12
        agrees = others[at[:, None], pitch]
        beside = others[at[:, None], (pitch + 1) % 12] | others[at[:, None], (pitch - 1) % 12]
        time = self._quarters[at]
        share = agrees.T @ time / time.sum()
        rubs = (beside & ~agrees).T @ time / time.sum()
        struck = np.unique(slices.row_tone[rows])
        return Fit(
            part,
            start,
            struck.size,
            float(time.sum()),
            share,
            share - rubs,
            declared,
            tones[int(struck[0])].notes,
            tones[int(struck[-1])].bar,
        )
