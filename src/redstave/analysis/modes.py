"""How long string players stay in a mode: plucked, muted, near the bridge, and so on.

A mode is in force from the word that begins it to the word that ends it, or to the end.
"""

from collections.abc import Callable, Iterator, Sequence
from itertools import groupby
from typing import NamedTuple

from redstave.model.line import TechniquePoint


class Mode(NamedTuple):
    """A mode in force from `start` to `stop` in ticks; `ended` tells whether a word ends it."""

    name: str
    start: int
    stop: int
    ended: bool


def modes(
    words: Sequence[TechniquePoint], name: Callable[[TechniquePoint], str], end: int
) -> Iterator[Mode]:
    """Yield the modes of one kind in order; `name` tells the mode of a point, "" for none."""
    runs = [(mode, next(points).tick) for mode, points in groupby(words, name)]
    for at, (mode, start) in enumerate(runs):
        if mode:
            last = at + 1 == len(runs)
            yield Mode(mode, start, end if last else runs[at + 1][1], not last)


def bow_of(point: TechniquePoint) -> str:
    """Return how the bow is used: "pizz", "col-legno" or "" for the ordinary way."""
    return point.bow


def mute_of(point: TechniquePoint) -> str:
    """Return "mute" where the mute is on, else ""."""
    return "mute" if point.mute else ""


def place_of(point: TechniquePoint) -> str:
    """Return where the bow plays: "sul-ponticello", "sul-tasto" or ""."""
    return point.place
