"""Figures of a hand: runs of short, equally long notes that leap about or repeat themselves."""

from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby, pairwise
from operator import attrgetter
from typing import NamedTuple

SHORT = 0.5  # quarters between two notes of a figure, at most (ours, as are all below)
LONG_ENOUGH = 4  # notes
LEAP = 3  # semitones
LEAPING = 0.6  # share of leaps or repetitions among its steps
STEADY = 1e-3
LONGEST = SHORT + STEADY


class Played(NamedTuple):
    """A tone of the original: position, quarters, pitch, bar, stave, hand (0, 1), level."""

    at: int
    start: float
    stop: float
    midi: int
    bar: int
    stave: int
    hand: int
    level: float


def chords(some: Iterable[Played]) -> Iterator[list[Played]]:
    """Yield what is struck together; `some` is sorted by start."""
    for _, chord in groupby(some, key=attrgetter("start")):
        yield list(chord)


def figures(some: Sequence[Played]) -> set[int]:
    """Return the tones (positions) of a hand that belong to figures; `some` is sorted by start.

    A long note over a figure is no part of it.
    """
    found: set[int] = set()
    for run in _runs(some):
        tops = [max(one.midi for one in chord) for chord in run]
        steps = [abs(after - before) for before, after in pairwise(tops)]
        leaps = sum(step >= LEAP or step == 0 for step in steps)
        if len(run) >= LONG_ENOUGH and leaps >= LEAPING * len(steps):
            found.update(one.at for chord in run for one in chord)
    return found


def _runs(some: Sequence[Played]) -> Iterator[list[list[Played]]]:
    """Yield runs of chords at equal short distances, without the long notes among them."""
    short = ([one for one in chord if one.stop - one.start <= LONGEST] for chord in chords(some))
    run: list[list[Played]] = []
    for chord in filter(None, short):
        gap = chord[0].start - run[-1][0].start if run else 0.0
        steady = len(run) < 2 or abs(gap - (run[-1][0].start - run[-2][0].start)) < STEADY
        if run and not (0.0 < gap <= LONGEST and steady):
            yield run
            run = run[-1:] if 0.0 < gap <= LONGEST else []
        run.append(chord)
    if run:
        yield run
