"""The tones of one side, entry or original, as arrays on one clock of quarters."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from redstave.model.line import Tone
from redstave.model.score import Score

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

GRACE_QUARTERS = 0.125  # the weight of a grace note, which has no length of its own (ours)


@dataclass(frozen=True)
class Sounding:
    """Pitched tones, an entry a tone, in the order of the tones they were made from.

    `tone` indexes those tones; `start` and `stop` are quarters from the start of the score, `bar`
    is the bar in which a tone starts, `line` its line; `grace` notes have `stop` at `start`.
    `bar_start` and `bar_length` are quarters, an entry a bar.
    """

    tone: Ints
    bar: Ints
    start: Floats
    stop: Floats
    midi: Ints
    line: Ints
    bar_start: Floats
    bar_length: Floats

    @property
    def pitch_class(self) -> Ints:
        """The pitch class of each tone, C = 0."""
        return self.midi % 12

    @property
    def grace(self) -> Flags:
        """Which tones are grace notes."""
        return self.stop <= self.start

    @property
    def bars(self) -> int:
        """How many bars there are."""
        return int(self.bar_start.size)


def sounding(score: Score, tones: Sequence[Tone]) -> Sounding:
    """Return the pitched tones of a score; what is unpitched belongs to no voice and is left out.

    Tones between two semitones count for the nearer one.
    """
    quarter = score.ticks_per_quarter
    index = [at for at, tone in enumerate(tones) if not tone.unpitched]
    kept = [tones[at] for at in index]
    bar_start = np.array([bar.start for bar in score.bars], dtype=np.float64) / quarter
    start = np.array([tone.start for tone in kept], dtype=np.float64) / quarter
    return Sounding(
        tone=np.array(index, dtype=np.int64),
        bar=np.array([tone.bar for tone in kept], dtype=np.int64),
        start=start,
        stop=np.array([tone.stop for tone in kept], dtype=np.float64) / quarter,
        midi=np.rint(np.array([tone.midi for tone in kept], dtype=np.float64)).astype(np.int64),
        line=np.array([tone.line for tone in kept], dtype=np.int64),
        bar_start=bar_start,
        bar_length=np.array([bar.length for bar in score.bars], dtype=np.float64) / quarter,
    )
