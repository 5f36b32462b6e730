"""Whether the last entries are judged as the first: points and minutes in the order of grading."""

from collections.abc import Sequence
from statistics import median
from typing import NamedTuple

import numpy as np
from scipy.stats import rankdata

from redstave import store
from redstave.store import Season

LEAST = 6  # graded in full, before anything is said of a drift (common practice, no source)
ORDERS = 20_000  # drawn at random
SEED = 1
SELDOM = 0.05  # so seldom by chance that it is told as a drift (the usual level of significance)


class Judged(NamedTuple):
    """An entry that is graded in full: its total (0 to 100), minutes of reading, and when."""

    code: str
    total: float
    minutes: float
    at: str


class Drift(NamedTuple):
    """Medians of the first and the second half, and how often chance alone drifts as strongly."""

    first: float
    second: float
    chance: float

    @property
    def told(self) -> bool:
        """Whether chance does that so seldom that the teacher should look."""
        return self.chance < SELDOM


class Evenness(NamedTuple):
    """Entries in the order in which they were graded; no drift is told for fewer than LEAST."""

    judged: tuple[Judged, ...]
    points: Drift | None
    minutes: Drift | None


def evenness(season: Season) -> Evenness:
    """Return how points and minutes have gone from the first entry graded to the last."""
    graded = store.graded_at(season)
    found = []
    for entry in store.read_entries(season):
        total = store.read_sheet(season, entry.code).total
        if total is not None and entry.code in graded:
            found.append(Judged(entry.code, total, entry.seconds / 60, graded[entry.code]))
    judged = tuple(sorted(found, key=lambda one: (one.at, one.code)))
    return Evenness(
        judged,
        drift([one.total for one in judged]),
        drift([one.minutes for one in judged]),
    )


def drift(values: Sequence[float]) -> Drift | None:
    """Return how values drift in their order; None for fewer than LEAST or where all are equal.

    `chance` is the share of random orders whose rank correlation with the order (Spearman) is as
    far from 0, the order at hand counted among them. For an odd number the middle value is in
    neither half.
    """
    if len(values) < LEAST or len(set(values)) == 1:
        return None
    half = len(values) // 2
    ranks = rankdata(values) - (len(values) + 1) / 2
    order = np.arange(len(values)) - (len(values) - 1) / 2
    shuffled = np.random.default_rng(SEED).permuted(np.tile(ranks, (ORDERS, 1)), axis=1)
    as_far = np.abs(shuffled @ order) >= abs(ranks @ order) - 1e-9
    chance = (1 + int(as_far.sum())) / (1 + ORDERS)
    return Drift(median(values[:half]), median(values[-half:]), chance)
