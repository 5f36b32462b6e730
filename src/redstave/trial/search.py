"""The cheapest sets of changes that bring a line out: branch and bound, the least cost first.

Sets are opened in the order of their cost, from a heap, so that the first one that suffices is a
cheapest one. Two facts bound the search. Costs are positive: what contains a set costs more than
it. And the margin rises with what a line gives and falls with what masks it: no set of r further
changes can do more than the r greatest pulls of all changes, taken anew in every filter of every
slice. Where even that does not reach the margin needed, nothing that contains the set is opened.
"""

import heapq
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from redstave.acoustics import batch
from redstave.trial.moves import Move
from redstave.trial.window import Listener, Pull


@dataclass(frozen=True)
class Found:
    """A set of moves (by their numbers), its cost, and the margin predicted for it in dB."""

    chosen: tuple[int, ...]
    cost: float
    margin_db: float


def cheapest(
    who: Listener,
    pool: Sequence[Move],
    pulls: Sequence[Pull],
    needed_db: float,
    most: int,
    below: float = float("inf"),
) -> Iterator[Found]:
    """Yield the sets of at most `most` moves of a pool that reach a margin, the cheapest first.

    `pulls` has one entry a move; sets that cost `below` or more are not opened. Moves of one set
    claim different lines.
    """
    if not pool:
        return
    limits = _limits(pulls, most)
    heap: list[tuple[float, tuple[int, ...]]] = [(0.0, ())]
    while heap:
        cost, chosen = heapq.heappop(heap)
        if cost >= below:
            return
        pull = added(who, pulls, chosen)
        if chosen and (margin := who.margin_db(pull)) >= needed_db:
            yield Found(chosen, cost, margin)
        room = most - len(chosen)
        if room == 0 or who.margin_db(pull + limits[room - 1]) < needed_db:
            continue
        taken = frozenset[int]().union(*(pool[at].claims for at in chosen))
        for at in range(chosen[-1] + 1 if chosen else 0, len(pool)):
            if not pool[at].claims & taken:
                heapq.heappush(heap, (cost + pool[at].cost, (*chosen, at)))


def _limits(pulls: Sequence[Pull], most: int) -> list[Pull]:
    """Return what 1, 2 … `most` further moves can pull at the very best."""
    own = np.sort(np.maximum(np.stack([pull.own for pull in pulls]), 0), axis=0)[::-1]
    background = np.sort(np.minimum(np.stack([pull.background for pull in pulls]), 0), axis=0)
    return [
        Pull(own[:count].sum(axis=0), background[:count].sum(axis=0))
        for count in range(1, most + 1)
    ]


def added(who: Listener, pulls: Sequence[Pull], chosen: Sequence[int]) -> Pull:
    """Return what some moves (numbers) pull together; nothing for none."""
    nothing: batch.Float32 = np.zeros_like(who.own)
    return sum((pulls[at] for at in chosen), Pull(nothing, nothing))
