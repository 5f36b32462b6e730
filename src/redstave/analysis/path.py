"""The best way through time from line to line: a tune goes on until another line takes it over.

A line that leads for a moment is no tune. The way is found by dynamic programming: it gathers the
score of the line it follows, pays a price whenever it changes to another line, and half of it where
phrases part: the new line begins there after a rest, or the old one falls silent.
"""

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]


def best_path(
    score: Floats,
    length: Floats,
    strand: Ints,
    enters: Flags,
    price: float,
    silence: float,
    least: float = -np.inf,
) -> Ints:
    """Return the line followed in each slice [slices].

    `score` [slices, lines] is -inf where a line cannot be followed, `length` [slices] weights the
    slices, `strand` [slices, lines] tells which lines move together (-1: silent), `enters` where a
    line begins after a rest. To change costs `price`, nothing within a strand; to stay with a line
    that is silent costs `silence` times the length. Where even the best line scores less than
    `least` there is a gap between phrases, and it falls short by the difference. Equal ways are
    settled in favour of the line that stands first.
    """
    slices, lines = score.shape
    if slices == 0 or lines == 0:
        return np.full(slices, -1, dtype=np.int64)
    gain = _gains(score, silence, least) * length[:, None]
    sounds = strand >= 0
    came_from = np.zeros((slices, lines), dtype=np.int64)
    total = gain[0].copy()
    every = np.arange(lines)
    for at in range(1, slices):
        going_on = sounds[at] & ~enters[at]
        cost = price * np.where(going_on, 1.0, 0.5)[:, None] * np.where(enters[at], 0.5, 1.0)
        cost[_together(strand[at]) | _together(strand[at - 1])] = 0.0
        cost[every, every] = 0.0
        ways = total[:, None] - cost
        came_from[at] = ways.argmax(axis=0)
        total = ways[came_from[at], every] + gain[at]
    return _back(came_from, int(total.argmax()))


def _gains(score: Floats, silence: float, least: float) -> Floats:
    """Return how far each line falls short of the best one in its slice; silent lines by a rule."""
    followed = np.isfinite(score)
    best = np.where(followed, score, -np.inf).max(axis=1)
    best = np.where(np.isfinite(best), np.maximum(best, least), 0.0)
    gains: Floats = np.where(followed, np.where(followed, score, 0.0) - best[:, None], -silence)
    return gains


def _together(strand: Ints) -> Flags:
    """Return which pairs of lines move together in one slice [lines, lines]."""
    same: Flags = (strand[:, None] == strand[None, :]) & (strand >= 0)[:, None]
    return same


def _back(came_from: Ints, last: int) -> Ints:
    path = np.empty(len(came_from), dtype=np.int64)
    path[-1] = last
    for at in range(len(came_from) - 1, 0, -1):
        path[at - 1] = came_from[at, path[at]]
    return path
