"""Where the tune changes hands: spans of time, each with the lines that carry it.

Lines that touch the tune for a moment do not carry it: a line counts where it shares the tune for
most of half a bar on either side. A span ends where a line joins or leaves those that carry.
"""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from redstave.analysis.slices import Slices
from redstave.analysis.traits import Traits
from redstave.analysis.tune import Tune

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]

REACH_QUARTERS = 2.0
MOST_OF_IT = 0.5
LEAST_QUARTERS = 1.0  # what lasts less is no change of hands


@dataclass(frozen=True)
class TuneSpan:
    """From `start` to `stop` (ticks) the tune is in the same hands.

    `lines` (indices, in the order of the page) play it in unison or octaves, `line` is the one of
    them to be named: it goes on from the span before, or lies highest. `confidence` is the mean
    chance (0 to 1) that this is the tune.
    """

    start: int
    stop: int
    line: int
    lines: tuple[int, ...]
    confidence: float


def tune_spans(
    slices: Slices, tune: Tune, of_line: Ints, traits: Traits, ticks_per_quarter: int
) -> tuple[TuneSpan, ...]:
    """Return the spans in order; `of_line` [slices, lines] tells strands, -1 where silent."""
    carried = np.flatnonzero(tune.strand >= 0)
    if carried.size == 0:
        return ()
    sharing = of_line[carried] == tune.strand[carried, None]
    start, stop = slices.start[carried], slices.stop[carried]
    carrying = _lasting(sharing, start, stop - start, REACH_QUARTERS * ticks_per_quarter)
    alone = ~carrying.any(axis=1)
    carrying[alone] = sharing[alone]
    begins = _begins(carrying, start, int(stop[-1]), LEAST_QUARTERS * ticks_per_quarter)
    spans: list[TuneSpan] = []
    for first, last in pairwise([*begins, carried.size]):
        lines = np.flatnonzero(carrying[first])
        rows = carried[first:last]
        height = np.nan_to_num(traits.highest[rows][:, lines]).sum(axis=0)
        before = spans[-1].line if spans else -1
        line = before if before in lines else int(lines[height.argmax()])
        confidence = np.average(tune.confidence[rows], weights=stop[first:last] - start[first:last])
        spans.append(
            TuneSpan(
                int(start[first]),
                int(stop[last - 1]),
                line,
                tuple(lines.tolist()),
                float(confidence),
            )
        )
    return tuple(spans)


def _begins(carrying: Flags, start: Ints, end: int, least: float) -> list[int]:
    """Return where other lines carry than before, and go on for at least so many ticks."""
    changed = (np.diff(carrying.astype(np.int8), axis=0) != 0).any(axis=1)
    edges = [0, *(np.flatnonzero(changed) + 1).tolist()]
    ends = [*(int(start[edge]) for edge in edges[1:]), end]
    lasting = [at for at, stop in zip(edges, ends, strict=True) if stop - start[at] >= least]
    kept = [0]
    for at in lasting:
        if (carrying[at] != carrying[kept[-1]]).any():
            kept.append(at)
    return kept


def _lasting(sharing: Flags, start: Ints, length: Ints, reach: float) -> Flags:
    """Return which lines share the tune most of the time within `reach` [slices, lines]."""
    low = np.searchsorted(start, start - reach)
    high = np.searchsorted(start, start + reach, side="right")
    nothing = np.zeros((1, sharing.shape[1]))
    time = np.cumsum(np.concatenate([[0], length]))
    shared = np.cumsum(np.concatenate([nothing, sharing * length[:, None]]), axis=0)
    share = (shared[high] - shared[low]) / (time[high] - time[low])[:, None]
    lasting: Flags = share >= MOST_OF_IT
    return lasting
