"""How a line moves: the sign by which a tune is told from a pedal, a repeated chord or a figure."""

from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from redstave.model.line import Tone

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Movement:
    """For each tone, within some reach either way: how often its line changes pitch, how widely.

    `changes` counts changes of pitch; `leap` is their mean size in semitones (0 where none). A line
    that strikes chords is followed by its highest note.
    """

    changes: Floats
    leap: Floats


def movement(tones: Sequence[Tone], reach: int) -> Movement:
    """Return how each tone's line moves within `reach` ticks before and after its start."""
    tops: dict[int, dict[int, float]] = defaultdict(dict)
    for tone in tones:
        if not tone.unpitched and not tone.continued and tone.stop > tone.start:
            line = tops[tone.line]
            line[tone.start] = max(tone.midi, line.get(tone.start, tone.midi))
    moves = {line: _moves(top) for line, top in tops.items()}
    found = np.zeros((len(tones), 2))
    for at, tone in enumerate(tones):
        if tone.line in moves:
            found[at] = _within(moves[tone.line], tone.start - reach, tone.start + reach)
    return Movement(found[:, 0], found[:, 1])


def _moves(top: dict[int, float]) -> tuple[list[int], list[float]]:
    """Return where a line's top note changes (ticks), and the sizes of the changes added up."""
    starts: list[int] = []
    summed = [0.0]
    for before, here in pairwise(sorted(top)):
        if top[here] != top[before]:
            starts.append(here)
            summed.append(summed[-1] + abs(top[here] - top[before]))
    return starts, summed


def _within(moves: tuple[list[int], list[float]], first: int, last: int) -> tuple[float, float]:
    starts, summed = moves
    low, high = bisect_left(starts, first), bisect_right(starts, last)
    count = high - low
    return float(count), (summed[high] - summed[low]) / count if count else 0.0
