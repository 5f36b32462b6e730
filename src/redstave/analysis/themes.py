"""Which notes are thematic: they belong to a fragment that another line plays at another time.

What a composer lets wander from hand to hand is what he wants to be followed. A fragment is five
notes told by their intervals and rhythm, so it is known again on any degree. Three of its four
intervals must be steps or leaps: repeated notes come back everywhere and tell nothing.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from redstave.analysis.melody import Melody

Flags = NDArray[np.bool_]
Ints = NDArray[np.int64]
Floats = NDArray[np.float64]

FRAGMENT = 5  # notes: as long as the best known opening motifs, too long to meet by chance
LEAST_MOVES = 3  # of the four intervals, so many must change the pitch
APART_QUARTERS = 2.0  # less far apart it is a doubling or a close imitation, not a return


def thematic(melodies: Sequence[Melody], ticks_per_quarter: int) -> tuple[Flags, ...]:
    """Return for each note of each melody whether a fragment it is part of returns elsewhere."""
    found = tuple(np.zeros(one.start.size, dtype=np.bool_) for one in melodies)
    line, at, start, keys = _fragments(melodies)
    if line.size == 0:
        return found
    _, kind = np.unique(keys, axis=0, return_inverse=True)
    returns = _elsewhere(kind.reshape(-1), line, start, APART_QUARTERS * ticks_per_quarter)
    for which, first in zip(line[returns].tolist(), at[returns].tolist(), strict=True):
        found[which][first : first + FRAGMENT] = True
    return found


def _fragments(melodies: Sequence[Melody]) -> tuple[Ints, Ints, Ints, Ints]:
    """Return of every fragment that moves enough: line, first note, start in ticks, and its key.

    The key holds the four intervals in semitones and the four times between notes in ticks.
    """
    lines, ats, starts, keys = [], [], [], []
    for number, one in enumerate(melodies):
        if one.start.size < FRAGMENT:
            continue
        steps = np.lib.stride_tricks.sliding_window_view(
            np.rint(np.diff(one.midi)).astype(np.int64), FRAGMENT - 1
        )
        waits = np.lib.stride_tricks.sliding_window_view(np.diff(one.start), FRAGMENT - 1)
        moving = np.flatnonzero((steps != 0).sum(axis=1) >= LEAST_MOVES)
        lines.append(np.full(moving.size, number))
        ats.append(moving)
        starts.append(one.start[moving])
        keys.append(np.concatenate([steps[moving], waits[moving]], axis=1))
    if not lines:
        nothing = np.zeros(0, dtype=np.int64)
        return nothing, nothing, nothing, nothing
    return tuple(np.concatenate(one) for one in (lines, ats, starts, keys))  # type: ignore[return-value]


def _elsewhere(kind: Ints, line: Ints, start: Ints, apart: float) -> Ints:
    """Return the fragments whose kind another line plays at least `apart` ticks away."""
    order = np.lexsort((start, line, kind))
    kind, line, start = kind[order], line[order], start[order]
    edge = (np.diff(kind, prepend=-1) != 0) | (np.diff(line, prepend=-1) != 0)
    owner = np.cumsum(edge) - 1  # numbers the pairs of kind and line
    first = np.flatnonzero(edge)
    last = np.concatenate([first[1:], [start.size]]) - 1
    earliest = _least_of_others(kind[first], start[first].astype(np.float64))
    latest = -_least_of_others(kind[first], -start[last].astype(np.float64))
    returns = (earliest[owner] <= start - apart) | (latest[owner] >= start + apart)
    found: Ints = order[returns]
    return found


def _least_of_others(kind: Ints, value: Floats) -> Floats:
    """Return for each entry the least value among the other entries of its kind; inf for none."""
    order = np.lexsort((value, kind))
    sorted_kind, sorted_value = kind[order], value[order]
    first = np.flatnonzero(np.diff(sorted_kind, prepend=-1) != 0)
    group = np.cumsum(np.diff(sorted_kind, prepend=-1) != 0) - 1
    least = sorted_value[first][group]
    following = np.minimum(first + 1, kind.size - 1)
    has_second = sorted_kind[following] == sorted_kind[first]
    has_second &= following > first
    least[first] = np.where(has_second, sorted_value[following], np.inf)
    found = np.empty(kind.size)
    found[order] = least
    return found
