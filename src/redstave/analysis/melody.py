"""Each line read as a melody: its highest notes in the order of time, and what holds around a time.

A line that strikes chords is followed by its highest note, as the ear does. All signs by which a
tune is told from its accompaniment are read here: how a line moves, when it rests, what it repeats.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from redstave.model.line import Playing, Tone

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]


@dataclass(frozen=True)
class Melody:
    """The highest notes of one line, one entry a note.

    `start` and `stop` in ticks, `midi` sounding pitch, `tone` the index of the note's tone in
    `Playing.tones`. Grace notes and notes without pitch are left out.
    """

    start: Ints
    stop: Ints
    midi: Floats
    tone: Ints

    @property
    def duration(self) -> Ints:
        """How long each note is held, in ticks."""
        return self.stop - self.start

    @property
    def step(self) -> Floats:
        """The interval in semitones that leads to each note; 0 for the first."""
        return np.diff(self.midi, prepend=self.midi[:1])


def melodies(playing: Playing) -> tuple[Melody, ...]:
    """Return the melody of every line in order; that of a silent line is empty."""
    tops: list[dict[int, int]] = [{} for _ in playing.lines]
    for index, tone in enumerate(playing.tones):
        if tone.unpitched or tone.stop <= tone.start:
            continue
        top = tops[tone.line]
        if tone.start not in top or playing.tones[top[tone.start]].midi < tone.midi:
            top[tone.start] = index
    return tuple(_melody([top[start] for start in sorted(top)], playing.tones) for top in tops)


def _melody(index: list[int], tones: Sequence[Tone]) -> Melody:
    chosen = [tones[at] for at in index]
    return Melody(
        np.array([tone.start for tone in chosen], dtype=np.int64),
        np.array([tone.stop for tone in chosen], dtype=np.int64),
        np.array([tone.midi for tone in chosen], dtype=np.float64),
        np.array(index, dtype=np.int64),
    )


def counted(melody: Melody, flags: Flags | Floats, moments: Floats, reach: float) -> Floats:
    """Return the sum of a value of the notes that start within `reach` ticks of each moment."""
    low = np.searchsorted(melody.start, moments - reach)
    high = np.searchsorted(melody.start, moments + reach, side="right")
    summed = np.concatenate([[0.0], np.cumsum(flags, dtype=np.float64)])
    found: Floats = summed[high] - summed[low]
    return found


def averaged(melody: Melody, values: Flags | Floats, moments: Floats, reach: float) -> Floats:
    """Return the mean of a value of the notes that start within `reach` ticks; 0 without any."""
    number = counted(melody, np.ones(melody.start.size), moments, reach)
    total = counted(melody, values, moments, reach)
    found: Floats = total / np.maximum(number, 1.0)
    return found


def begins_after_rest(melody: Melody, rest: float) -> Flags:
    """Return for each note whether the line was silent for `rest` ticks or more before it."""
    reached = np.maximum.accumulate(melody.stop) if melody.stop.size else melody.stop
    silent = melody.start[1:] - reached[:-1] >= rest
    found: Flags = np.concatenate([np.ones(min(1, melody.start.size), np.bool_), silent])
    return found
