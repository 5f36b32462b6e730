"""An original cut into beats, where its barlines are elsewhere than those of the entry.

A beat is a quarter, or an eighth where that is needed to fill the usual bar of the entry. The beats
begin where those of the entry do. A bar of the entry that is no whole number of beats
long sets off all that follow, so each bar has its own say in how early the beats are.
"""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from redstave.original.likeness import Likeness
from redstave.original.sounding import Floats, Sounding
from redstave.original.walking import Step

FINE = 24  # parts of a quarter by which barlines may be elsewhere
APART = 0.5  # beats by which they are so at most
BESIDE = 0.5  # what a bar on either side counts for how early a bar is
NEARLY = 0.7  # of the most, from which on those are believed that say they are right as they are
FEW = 3  # tones that must agree on it


def beat_of(entry: Sounding) -> float:
    """Return the length of a beat, in quarters, that most bars of an entry are made of."""
    lengths, count = np.unique(np.rint(2.0 * entry.length), return_counts=True)
    return 0.5 if lengths[np.argmax(count)] % 2.0 else 1.0


def in_beats(of: Sounding, entry: Sounding, beat: float, early: float = 0.0) -> Sounding:
    """Return the same tones with a barline at every beat, or so many quarters earlier.

    Beats of silence come before, as many as fill up the upbeat of an entry.
    """
    upbeat = np.ceil(max(0.0, -float(entry.begin[0])) / beat)
    first = float(of.begin[0]) - early - beat * upbeat
    begin = np.arange(first, max(float(of.end[-1]), first + beat) - 1e-6, beat)
    return cut(of, begin, np.full(begin.size, beat))


def how_early(like: Likeness, steps: Sequence[Step], beat: float) -> Floats:
    """Return by how many quarters the tones of the original begin early, half a beat at most.

    That is what most tones of a step and of those beside it say [steps]; NaN where few say
    anything.
    """
    apart = round(APART * beat * FINE)
    count = np.zeros((len(steps), 2 * apart + 1))
    for row, step in zip(count, steps, strict=True):
        row += _lateness(like, step, apart)
    around = count.copy()
    around[1:] += BESIDE * count[:-1]
    around[:-1] += BESIDE * count[1:]
    most = around.max(axis=1, initial=0.0)
    early = (np.argmax(around, axis=1) - apart) / FINE
    early[around[:, apart] >= NEARLY * most] = 0.0
    found: Floats = np.where(most >= FEW, early, np.nan)
    return found


def mostly(early: Floats) -> float:
    """Return the commonest of some values; 0 where there is none."""
    known = early[~np.isnan(early)]
    values, count = np.unique(known, return_counts=True)
    return float(values[np.argmax(count)]) if known.size else 0.0


def moved(like: Likeness, steps: Sequence[Step], early: Floats) -> Sounding:
    """Return the original of a likeness with the pieces of each step so much earlier.

    Pieces between steps move with their neighbours; each one ends where the next begins.
    """
    pieces = like.original
    known = ~np.isnan(early)
    if not known.any():
        return pieces
    first = np.array([step.bar for step in steps])[known]
    last = first + np.array([step.bars for step in steps])[known] - 1
    at = np.stack([first, last], axis=1).reshape(-1)
    order = np.argsort(at, kind="stable")
    by = np.interp(np.arange(pieces.bars), at[order], np.repeat(early[known], 2)[order])
    begin = np.maximum.accumulate(pieces.begin - by)
    length = np.diff(begin, append=max(float(pieces.end[-1]), float(begin[-1]) + 1.0))
    return cut(pieces, begin, length)


def cut(of: Sounding, begin: Floats, length: Floats) -> Sounding:
    """Return the same tones with other barlines."""
    bar = np.clip(np.searchsorted(begin, of.start + 1e-6, side="right") - 1, 0, begin.size - 1)
    return replace(of, bar=bar, begin=begin, length=length)


def _lateness(like: Likeness, step: Step, apart: int) -> Floats:
    """Count how much later than sources of their pitch class the tones of a step begin."""
    here, there = like.entry, like.original
    first = int(like.rows[step.row])
    begin, origin = here.begin[first], there.begin[step.bar]
    end, stop = here.end[first + step.rows - 1], there.end[step.bar + step.bars - 1]
    tones = slice(*np.searchsorted(here.start, (begin, end)))
    sources = slice(*np.searchsorted(there.start, (origin - APART, stop + APART)))
    alike = (there.midi[sources, None] + like.up - here.midi[None, tones]) % 12 == 0
    late = (here.start[None, tones] - begin) - (there.start[sources, None] - origin)
    grid = np.rint(late[alike] * FINE).astype(np.int64)
    near = grid[np.abs(grid) <= apart] + apart
    counted: Floats = np.bincount(near, minlength=2 * apart + 1).astype(np.float64)
    return counted
