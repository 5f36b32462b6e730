"""Which bar of the entry comes from which bar of the original."""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from redstave.model.match import NO_BAR, BarMatch, Pin
from redstave.original.sounding import Floats, Sounding

GAP = 0.35


class BarMap(NamedTuple):
    """The bars matched, and how many semitones the entry sounds above the original (-5 to 6)."""

    transposition: int
    bars: tuple[BarMatch, ...]


def chroma(one: Sounding) -> Floats:
    """Return how long each pitch class sounds from the tones that begin in each bar [bars, 12]."""
    length = np.maximum(one.stop - one.start, 0.0)
    key = one.bar * 12 + one.pitch_class
    found: Floats = np.bincount(key, length, minlength=one.bars * 12).reshape(one.bars, 12)
    size = np.linalg.norm(found, axis=1, keepdims=True)
    return found / np.where(size > 0.0, size, 1.0)


def bar_map(entry: Sounding, original: Sounding, pins: Sequence[Pin] = ()) -> BarMap:
    """Match bars in order by what sounds in them."""
    here, there = chroma(entry), chroma(original)
    whole = [float(here.sum(axis=0) @ np.roll(there.sum(axis=0), by)) for by in range(12)]
    by = int(np.argmax(whole))
    like = here @ np.roll(there, by, axis=1).T
    best = np.zeros((entry.bars + 1, original.bars + 1))
    best[:, 0] = -GAP * np.arange(entry.bars + 1)
    best[0] = -GAP * np.arange(original.bars + 1)
    for i in range(entry.bars):
        for j in range(original.bars):
            best[i + 1, j + 1] = max(
                best[i, j] + like[i, j], best[i, j + 1] - GAP, best[i + 1, j] - GAP
            )
    found: list[BarMatch] = []
    i, j = entry.bars, original.bars
    while i or j:
        if i and j and np.isclose(best[i, j], best[i - 1, j - 1] + like[i - 1, j - 1]):
            i, j = i - 1, j - 1
            found.append(BarMatch(i, j, float(like[i, j])))
        elif i and np.isclose(best[i, j], best[i - 1, j] - GAP):
            i -= 1
            found.append(BarMatch(i, NO_BAR, 0.5))
        else:
            j -= 1
            found.append(BarMatch(NO_BAR, j, 0.5))
    return BarMap((by + 5) % 12 - 5, tuple(reversed(found)))
