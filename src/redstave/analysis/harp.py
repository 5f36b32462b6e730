"""The pedal harp: seven letters, three forms each, one foot for each pedal.

A setting gives every letter one form in all octaves: flat, natural or sharp. Which notes can sound
together is a matching of pitch classes to letters; how the pedals get from one chord to the next is
searched exactly, over all 2187 settings, for the fewest moves; whether the feet can make the moves
in time is a schedule with a deadline for each.
"""

from collections.abc import Iterable, Sequence
from functools import cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

LETTERS = "CDEFGAB"
NATURALS = (0, 2, 4, 5, 7, 9, 11)
FORMS = (-1, 0, 1)  # flat, natural, sharp
LEFT_FOOT = frozenset("DCB")  # the right foot has E F G A
Pitches = frozenset[int]


class Moment(NamedTuple):
    """What the harp strikes at one moment: seconds, and the pitch classes it needs."""

    second: float
    pitches: Pitches


class Move(NamedTuple):
    """One pedal move: the letter, and between which seconds it must be made."""

    letter: str
    after: float
    before: float


def playable(pitches: Iterable[int]) -> bool:
    """Tell whether pitch classes (0 = C) can all sound at once, each on a letter of its own."""
    wanted = sorted({pitch % 12 for pitch in pitches})
    taken: dict[int, int] = {}  # letter -> pitch

    def place(pitch: int, tried: set[int]) -> bool:
        for letter in _letters(pitch):
            if letter not in tried:
                tried.add(letter)
                if letter not in taken or place(taken[letter], tried):
                    taken[letter] = pitch
                    return True
        return False

    return all(place(pitch, set()) for pitch in wanted)


@cache
def _letters(pitch: int) -> tuple[int, ...]:
    """Return the letters (0 = C … 6 = B) that have a form sounding as this pitch class."""
    return tuple(
        at for at, natural in enumerate(NATURALS) if (pitch - natural + 1) % 12 <= FORMS[-1] + 1
    )


@cache
def _settings() -> NDArray[np.int64]:
    """Return all settings as rows of seven forms (0 flat, 1 natural, 2 sharp): [2187, 7]."""
    return np.array(np.meshgrid(*[range(3)] * 7, indexing="ij")).reshape(7, -1).T


@cache
def _allowed(pitches: Pitches) -> NDArray[np.bool_]:
    """Return for each setting whether it has all of these pitch classes."""
    sounding = (np.array(NATURALS) + _settings() - 1) % 12
    found = np.ones(len(sounding), dtype=np.bool_)
    for pitch in pitches:
        found &= (sounding == pitch).any(axis=1)
    return found


def plan(moments: Sequence[Moment]) -> list[NDArray[np.int64]]:
    """Return for each moment a setting (seven forms), with the fewest pedal moves in all.

    Moments that no setting can play keep the setting before them.
    """
    costs = []
    cost = np.zeros(3**7)
    for moment in moments:
        allowed = _allowed(moment.pitches)
        cost = _after_moves(cost)
        if allowed.any():
            cost = np.where(allowed, cost, np.inf)
        costs.append(cost)
    chosen: list[NDArray[np.int64]] = []
    for cost in reversed(costs):
        if chosen:
            cost = cost + (_settings() != chosen[-1]).sum(axis=1)
        chosen.append(_settings()[int(cost.argmin())])
    return chosen[::-1]


def _after_moves(cost: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the least cost of each setting when any pedal may move at the price of 1."""
    grid = cost.reshape((3,) * 7)
    for axis in range(7):
        grid = np.minimum(grid, grid.min(axis=axis, keepdims=True) + 1.0)
    return grid.reshape(-1)


def moves(moments: Sequence[Moment], settings: Sequence[NDArray[np.int64]]) -> list[Move]:
    """Return the pedal moves of a plan, each with the time between its last and its next use."""
    found: list[Move] = []
    last_use = dict.fromkeys(LETTERS, 0.0)
    form = dict(zip(LETTERS, settings[0].tolist(), strict=True)) if len(settings) else {}
    for moment, setting in zip(moments, settings, strict=True):
        for at, letter in enumerate(LETTERS):
            used = (NATURALS[at] + int(setting[at]) - 1) % 12 in moment.pitches
            if int(setting[at]) != form[letter]:
                found.append(Move(letter, last_use[letter], moment.second))
                form[letter] = int(setting[at])
            if used:
                last_use[letter] = moment.second
    return found


def late(made: Iterable[Move], seconds_a_move: float) -> list[Move]:
    """Return the moves that cannot be made in time, one after the other on each foot.

    Each foot takes the move whose deadline comes first; what is then late would be late in any
    order.
    """
    missed: list[Move] = []
    for left in (True, False):
        free = 0.0
        mine = [move for move in made if (move.letter in LEFT_FOOT) is left]
        for move in sorted(mine, key=lambda one: (one.before, one.after)):
            done = max(free, move.after) + seconds_a_move
            if done > move.before + 1e-9 and move.before > 0.0:
                missed.append(move)
            else:
                free = done
    return sorted(missed, key=lambda move: move.before)
