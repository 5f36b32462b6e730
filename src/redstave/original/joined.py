"""Bars of the entry in which the end of a repeated passage and the upbeat to its return are one.

An original that repeats from an upbeat ends the passage with a bar that is short by it. Where the
entry writes the repeat out, the two fill one bar. It is cut there, so that each part can stand
beside its own bar of the original. The numbers here are ours.
"""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

import numpy as np

from redstave.original.beats import cut
from redstave.original.likeness import Likeness
from redstave.original.sounding import Flags, Ints, Sounding
from redstave.original.walking import Step

AROUND = 2  # bars by which the way may miss the sign, as it cannot go over it within a bar
EVEN = 0.02  # quarters by which lengths may differ and still be the same
NEAR = 0.1  # quarters between attacks that are one
MOST = 0.5  # share of the tones of both bars that must be struck in the joined one


class Joint(NamedTuple):
    """A bar of the entry (index) that joins bars `end` and `then`, which begins at a quarter."""

    bar: int
    at: float
    end: int
    then: int


def joints(
    like: Likeness, steps: Sequence[Step], signs: Sequence[tuple[int, int]]
) -> tuple[Joint, ...]:
    """Return the bars of the entry that join two bars over a sign of the original."""
    found: dict[int, Joint] = {}
    for before, after in pairwise(steps):
        for end, then in signs:
            missed = end - (before.bar + before.bars - 1)
            if abs(missed) <= AROUND and 0 <= after.bar - then <= AROUND:
                first = before.row + before.rows - AROUND
                rows = range(max(0, first), min(like.rows.size, after.row + AROUND))
                found |= {one.bar: one for one in _best(like, rows, end, then)}
    return tuple(found[bar] for bar in sorted(found))


def parted(entry: Sounding, rows: Ints, some: Sequence[Joint]) -> tuple[Sounding, Ints]:
    """Return an entry with its joined bars cut, and its bars then in the order of playing."""
    begin = np.sort(np.concatenate([entry.begin, [one.at for one in some]]))
    length = np.diff(begin, append=entry.end[-1])
    of = np.searchsorted(entry.begin, begin + EVEN, side="right") - 1
    pieces = [np.flatnonzero(of == bar) for bar in rows.tolist()]
    return cut(entry, begin, length), np.concatenate(pieces)


def stands(joint: Joint, steps: Sequence[Step], bars: Sequence[int]) -> bool:
    """Tell whether both parts of a joined bar stand where they should; `bars` are of the rows."""
    return any(
        bars[before.row + before.rows - 1] == bars[after.row] == joint.bar
        and (before.bar + before.bars - 1, after.bar) == (joint.end, joint.then)
        for before, after in pairwise(steps)
    )


def _best(like: Likeness, rows: range, end: int, then: int) -> Iterator[Joint]:
    """Yield the bar, if any, that is as long as two of the original and strikes most of them."""
    entry, original = like.entry, like.original
    last = float(original.length[end])
    first = float(original.length[then] + min(0.0, original.begin[then]))  # an upbeat as printed
    shares = {}
    for bar in {int(like.rows[row]) for row in rows}:
        if abs(float(entry.length[bar]) - last - first) <= EVEN:
            at = float(entry.begin[bar]) + last
            ending = _struck(like, float(original.begin[end]), last, at - last)
            upbeat = _struck(like, max(0.0, float(original.begin[then])), first, at)
            share = float(np.mean([*ending, *upbeat, False]))  # nothing proves nothing
            shares[share] = Joint(bar, at, end, then)
    if shares and max(shares) >= MOST:
        yield shares[max(shares)]


def _struck(like: Likeness, there: float, length: float, here: float) -> Flags:
    """Tell which of the tones that the original strikes there are struck in the entry here."""
    entry, original = like.entry, like.original
    sources = slice(*np.searchsorted(original.start, (there - NEAR, there + length - NEAR)))
    tones = slice(*np.searchsorted(entry.start, (here - NEAR, here + length + NEAR)))
    late = (entry.start[None, tones] - here) - (original.start[sources, None] - there)
    alike = (original.midi[sources, None] + like.up - entry.midi[None, tones]) % 12 == 0
    struck: Flags = ((np.abs(late) < NEAR) & alike).any(axis=1)
    return struck
