"""How much any bars of an entry and its original have in common."""

from dataclasses import replace

import numpy as np

from redstave.original.features import SLOTS, Raster, features, transposed
from redstave.original.sounding import Flags, Floats, Ints, Sounding
from redstave.original.walking import Shape, Step

COMMON = 0.65  # what bars of one piece have in common anyway (ours, as are all below)
RESTS, RESTS_THERE, RESTS_BOTH = COMMON - 0.05, COMMON - 0.2, COMMON + 0.1
ALIKE = 0.999
SAMPLED = 100  # runs of bars that are enough to find the key


class Likeness:
    """The likeness of steps of any shape, 0 to 1; worked out when it is asked for.

    `rows` are the bars of the entry in the order of playing. Silence proves little: a bar of rests
    may stand for any bar. `up` is the key, by semitones, where that is known.
    """

    def __init__(
        self, entry: Sounding, original: Sounding, rows: Ints, up: int | None = None
    ) -> None:
        self.rows = rows
        self.entry, self.original = entry, original
        self._here, self._there = Raster.of(entry), Raster.of(original)
        self.up = _transposition(self._here, self._there) if up is None else up
        self._upbeat = _upbeat(original)
        self._upbeat_here = _upbeat(entry) if np.count_nonzero(rows == 0) > 1 else None
        self._known: dict[Shape, Floats] = {}

    def of(self, shape: Shape) -> Floats:
        """Return the likeness of every step of a shape [rows, bars], by where it begins."""
        if shape not in self._known:
            here = features(self._here, shape[0])[self._first(shape[0])]
            there = transposed(features(self._there, shape[1]), self.up)
            like: Floats = here @ there.T
            if self._upbeat is not None and like.size:
                short = transposed(features(self._upbeat, shape[1])[:1], self.up)
                like[:, 0] = np.maximum(like[:, 0], here @ short[0])
            if self._upbeat_here is not None and like.size:
                again = np.flatnonzero(self._first(shape[0]) == 0)[1:]
                short = features(self._upbeat_here, shape[0])[0]
                like[again] = np.maximum(like[again], short @ there.T)
            rests, rests_there = here[:, -1:] > 0.0, there[:, -1] > 0.0
            like[rests & ~rests_there] = RESTS
            like[~rests & rests_there] = RESTS_THERE
            like[rests & rests_there] = RESTS_BOTH
            self._known[shape] = like
        return self._known[shape]

    def joined(self, bars: int) -> Flags:
        """Tell for each row whether so many bars from there on are neighbours on the page."""
        count = max(0, self.rows.size - bars + 1)
        joined: Flags = self.rows[bars - 1 :][:count] - self.rows[:count] == bars - 1
        return joined

    def lengths(self, shape: Shape) -> tuple[Floats, Floats]:
        """Return how many quarters a step is long in the entry [rows], in the original [bars]."""
        here = _lengths(self.entry.length, shape[0])[self._first(shape[0])]
        return here, _lengths(self.original.length, shape[1])

    def beside_rests(self, shape: Shape) -> Flags:
        """Tell which steps of several bars of one side begin or end with a bar of rests there."""
        here = _ends(self._here.silent, shape[0])[self._first(shape[0])]
        there = _ends(self._there.silent, shape[1])
        beside: Flags = here[:, None] | there[None, :]
        return beside

    def same(self) -> Flags:
        """Tell which bars of the original sound the same [bars, bars]."""
        bars = features(self._there)
        alike: Flags = bars @ bars.T > ALIKE * np.square(bars).sum(axis=1)
        return alike | np.eye(alike.shape[0], dtype=np.bool_)

    def within(self, step: Step) -> float:
        """Return how much of what sounds in a step's bars of one side the other has there: 0 to 1.

        Of both sides that is taken of which more is found. Where one is silent it is 1.
        """
        first = int(self.rows[step.row])
        here = self._here.sounds[first : first + step.rows].reshape(SLOTS, step.rows, 12)
        there = self._there.sounds[step.bar : step.bar + step.bars].reshape(SLOTS, step.bars, 12)
        one, other = here.mean(axis=1), np.roll(there.mean(axis=1), self.up, axis=1)
        least = min(float(one.sum()), float(other.sum()))
        return float(np.minimum(one, other).sum()) / least if least > 0.0 else 1.0

    def _first(self, bars: int) -> Ints:
        """Return the first bar of each step of so many bars of the entry, by row."""
        count = max(0, self.rows.size - bars + 1)
        return np.minimum(self.rows[:count], max(0, self.entry.bars - bars))


def _ends(silent: Flags, bars: int) -> Flags:
    """Tell which runs of so many bars, if of several, begin or end with silence."""
    count = max(0, silent.size - bars + 1)
    ends: Flags = (silent[:count] | silent[bars - 1 :][:count]) & (bars > 1)
    return ends


def _lengths(length: Floats, bars: int) -> Floats:
    whole = np.concatenate([[0.0], np.cumsum(length)])
    lengths: Floats = whole[bars:] - whole[:-bars]
    return lengths


def _upbeat(side: Sounding) -> Raster | None:
    """Return a side with its upbeat as short as it is printed, as when it is played again."""
    begin, length = side.begin.copy(), side.length.copy()
    if not begin[0] < 0.0 < begin[0] + length[0]:
        return None
    length[0] += begin[0]
    begin[0] = 0.0
    return Raster.of(replace(side, begin=begin, length=length))


def _transposition(entry: Raster, original: Raster) -> int:
    """Return by how many semitones (0 to 11) the entry is best moved up from the original.

    Short runs of bars of the entry are set beside all of the original in every key, also with
    note values doubled and halved.
    """
    best = np.zeros(12)
    for rows, bars in ((2, 2), (2, 1), (1, 2)):
        here, there = features(entry, rows), features(original, bars)
        here = here[:: max(1, here.shape[0] // SAMPLED)]
        if not (here.size and there.size):
            continue
        keys = np.stack([transposed(here, -up) for up in range(12)]).astype(np.float32)
        like = keys.reshape(-1, here.shape[1]) @ there.T.astype(np.float32)
        best = np.maximum(best, like.max(axis=1).reshape(12, -1).mean(axis=1))
    return int(np.argmax(best))
