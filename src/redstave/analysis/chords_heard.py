"""The chord that sounds in each slice: pitches from the bottom, and who plays them."""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

import numpy as np

from redstave.analysis.analysis import Analysis
from redstave.model.finding import Spot
from redstave.model.line import Tone


class ChordHeard(NamedTuple):
    """What sounds in one slice: its index, and the sustained pitched tones, lowest first."""

    at: int
    tones: tuple[Tone, ...]

    @property
    def pitches(self) -> tuple[float, ...]:
        """The different pitches from the bottom, as MIDI numbers."""
        return tuple(sorted({tone.midi for tone in self.tones}))

    @property
    def level(self) -> float:
        """The level most players are told: the median of the tones."""
        return float(np.median([tone.level for tone in self.tones]))


class Run(NamedTuple):
    """Neighbouring slices in which something holds, from `start` to `stop` in ticks."""

    chords: tuple[ChordHeard, ...]
    start: int
    stop: int


def chords_heard(analysis: Analysis) -> Iterator[ChordHeard]:
    """Yield the chord of each slice in which anything pitched is sustained."""
    slices, tones = analysis.slices, analysis.playing.tones
    sustained = analysis.sound.sustained
    begins = np.searchsorted(slices.row_slice, np.arange(slices.start.size + 1))
    for at, (first, last) in enumerate(pairwise(begins.tolist())):
        here = [
            tones[index]
            for index, held in zip(
                slices.row_tone[first:last].tolist(), sustained[first:last].tolist(), strict=True
            )
            if held and not tones[index].unpitched
        ]
        if here:
            yield ChordHeard(at, tuple(sorted(here, key=lambda tone: tone.midi)))


def runs(analysis: Analysis, chosen: Sequence[ChordHeard], least: float) -> Iterator[Run]:
    """Yield runs of chosen chords that follow each other without a gap for `least` quarters."""
    slices = analysis.slices
    together: list[ChordHeard] = []
    for chord in [*chosen, None]:
        follows = bool(
            together
            and chord is not None
            and slices.start[chord.at] == slices.stop[together[-1].at]
        )
        if together and not follows:
            start, stop = int(slices.start[together[0].at]), int(slices.stop[together[-1].at])
            if stop - start >= least * analysis.score.ticks_per_quarter:
                yield Run(tuple(together), start, stop)
            together = []
        if chord is not None:
            together.append(chord)


def spots_of(analysis: Analysis, run: Run, tones: Sequence[Tone]) -> tuple[Spot, ...]:
    """Return a spot for each part that plays one of these tones of a run."""
    score = analysis.score
    bar, last = score.bar_at(run.start), score.bar_at(run.stop - 1)
    by_part: dict[str, list[str]] = {}
    for tone in tones:
        part = analysis.playing.lines[tone.line].part
        by_part.setdefault(part, []).extend(tone.notes)
    notes = score.notes_by_id
    return tuple(
        Spot(
            bar,
            run.start - score.bars[bar].start,
            part,
            notes[ids[0]].stave,
            max(bar, last),
            tuple(dict.fromkeys(ids)),
        )
        for part, ids in by_part.items()
    )
