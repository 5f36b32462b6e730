"""The tones of one side, entry or original, as arrays on one clock of quarters."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from redstave.model.line import Tone
from redstave.model.score import Score
from redstave.original.tremolos import shaken_through

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]


@dataclass(frozen=True)
class Sounding:
    """Pitched tones, an entry a tone, in the order of the tones they were made from.

    `tone` indexes those tones; `start` and `stop` are quarters from the start of the score, `bar`
    is the bar in which a tone starts, `line` its line. Grace notes have `stop` at `start`.
    `edge` are the quarters at which the bars begin, and the last one ends [bars + 1]; `length` is
    how long each bar is. An upbeat counts as the end of a full bar, and a short last bar as the
    beginning of one, so that both can stand beside a bar filled up with rests.
    """

    tone: Ints
    bar: Ints
    start: Floats
    stop: Floats
    midi: Ints
    line: Ints
    begin: Floats
    length: Floats

    @property
    def pitch_class(self) -> Ints:
        """The pitch class of each tone, C = 0."""
        return self.midi % 12

    @property
    def end(self) -> Floats:
        """Where each bar ends, in quarters."""
        end: Floats = self.begin + self.length
        return end

    @property
    def bars(self) -> int:
        """How many bars there are."""
        return int(self.begin.size)


def sounding(score: Score, tones: Sequence[Tone]) -> Sounding:
    """Return the pitched tones of a score; what is unpitched belongs to no voice and is left out.

    Tones between two semitones count for the nearer one; those of a tremolo between two chords
    sound all through it.
    """
    quarter = score.ticks_per_quarter
    index = [at for at, tone in enumerate(tones) if not tone.unpitched]
    through = shaken_through(score, tones)
    kept = [tones[at] for at in index]
    if through:
        kept = [
            tone._replace(start=through[at][0], stop=through[at][1]) if at in through else tone
            for at, tone in zip(index, kept, strict=True)
        ]
    begin = np.array([bar.start for bar in score.bars], dtype=np.float64) / quarter
    length = np.array([bar.length for bar in score.bars], dtype=np.float64) / quarter
    begin, length = _filled(begin, length)
    return Sounding(
        tone=np.array(index, dtype=np.int64),
        bar=np.array([tone.bar for tone in kept], dtype=np.int64),
        start=np.array([tone.start for tone in kept], dtype=np.float64) / quarter,
        stop=np.array([tone.stop for tone in kept], dtype=np.float64) / quarter,
        midi=np.rint(np.array([tone.midi for tone in kept], dtype=np.float64)).astype(np.int64),
        line=np.array([tone.line for tone in kept], dtype=np.int64),
        begin=begin,
        length=length,
    )


def _filled(begin: Floats, length: Floats) -> tuple[Floats, Floats]:
    """Make a full bar of an upbeat at the beginning and of a short bar at the end."""
    if begin.size < 2:
        return begin, length
    begin, length = begin.copy(), length.copy()
    lacking = max(0.0, float(length[1] - length[0]))
    begin[0] -= lacking
    length[0] += lacking
    length[-1] = max(length[-1], length[-2])
    return begin, length
