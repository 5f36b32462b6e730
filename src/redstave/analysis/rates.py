"""Runs of attacks that follow each other faster than a limit."""

from collections.abc import Iterator, Sequence
from itertools import groupby, pairwise


def quick_runs(starts: Sequence[float], limit: float) -> Iterator[slice]:
    """Yield the longest runs in which each attack follows the one before within 1/limit seconds.

    `starts` in seconds, ascending; a run is a slice of them and has at least two attacks.
    """
    quick = [after - before < 1.0 / limit for before, after in pairwise(starts)]
    at = 0
    for fast, group in groupby(quick):
        length = len(list(group))
        if fast:
            yield slice(at, at + length + 1)
        at += length


def rate(starts: Sequence[float]) -> float:
    """Return the mean number of attacks a second of a run; it needs two attacks."""
    return (len(starts) - 1) / (starts[-1] - starts[0])
