"""Which notes are figuration: a pattern repeated without change, repeated notes, tremolo.

A figure fills time and harmony; the ear soon stops attending to what it can foretell.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from redstave.analysis.melody import Melody
from redstave.model.line import Tone

Flags = NDArray[np.bool_]
Ints = NDArray[np.int64]

LONGEST_PERIOD = 8  # notes: a bar of quavers
LEAST_RETURNS = 3  # what is played four times running has become a pattern
FASTEST_FREE = 0.5  # quarters: slower repetitions are chords or a pedal, not a figure


def figured(melody: Melody, tones: Sequence[Tone], ticks_per_quarter: int) -> Flags:
    """Return for each note whether it is part of a figure.

    A pattern of 2 to 8 notes returns when its rises, falls and note values return, whatever the
    harmony makes of the intervals; a scale is no pattern, repeated notes are one.
    """
    found = np.array([tones[at].technique == "tremolo" for at in melody.tone], dtype=np.bool_)
    if melody.start.size < 2:
        return found
    rise = np.sign(melody.step).astype(np.int64)
    wait = np.diff(melody.start, append=melody.stop[-1:])
    shape = np.stack([rise, wait])
    quick = wait <= FASTEST_FREE * ticks_per_quarter
    repeated = (rise == 0) & quick
    found |= _in_runs(repeated, LEAST_RETURNS)
    for period in range(2, LONGEST_PERIOD + 1):
        same = np.zeros(melody.start.size, dtype=np.bool_)
        same[period:] = (shape[:, period:] == shape[:, :-period]).all(axis=0)
        turning = _turning(rise, period)
        # Four times a pattern of n notes are 4n - 1 intervals, 3n - 1 of which repeat one.
        found |= _in_runs(same & turning & quick, LEAST_RETURNS * period - 1, before=period)
    return found


def _turning(rise: Ints, period: int) -> Flags:
    """Return whether the `period` notes up to each one both rise and fall: a scale does not."""
    size = rise.size

    def within(flags: Flags) -> Flags:
        summed = np.concatenate([np.zeros(period), np.cumsum(flags)])
        here: Flags = summed[period:] - summed[:size] > 0
        return here

    return within(rise > 0) & within(rise < 0)


def _in_runs(flags: Flags, least: int, before: int = 1) -> Flags:
    """Return the notes of runs of `least` true flags or more, and the `before` they repeat."""
    found = np.zeros(flags.size, dtype=np.bool_)
    edges = np.flatnonzero(np.diff(np.concatenate([[False], flags, [False]]).astype(np.int8)))
    for first, last in zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True):
        if last - first >= least:
            found[max(0, first - before) : last] = True
    return found
