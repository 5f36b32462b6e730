"""Where a part begins to play after silence."""

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from redstave.analysis.page import Chord


class Entry(NamedTuple):
    """The first chord after a rest of `rest` ticks; `first` for the first of the whole score."""

    chord: Chord
    rest: int
    first: bool


def entries(struck: Iterable[Chord]) -> Iterator[Entry]:
    """Yield the chords before which the whole part is silent, however shortly.

    `struck` are the chords of all staves and voices of one part in the order of time.
    """
    silent_from = 0
    first = True
    for chord in struck:
        if first or chord.start > silent_from:
            yield Entry(chord, chord.start - silent_from, first)
            first = False
        silent_from = max(silent_from, chord.stop)
