"""How long one bow lasts: the louder, the shorter; the larger the instrument, the shorter.

Between the levels of the table the time is interpolated in equal ratios; softer than the softest
and louder than the loudest it stays as it is.
"""

from functools import cache
from math import exp, log

import numpy as np

from redstave.analysis.tables import cited, row
from redstave.model.line import LEVEL_NUMBERS


def bow_seconds(level: float, instrument: str) -> float:
    """Return how many seconds one bow lasts at a level (numbered as in `model.line`)."""
    levels, logs = _curve()
    share = cited("strings", "bow-share", instrument).number
    return share * exp(float(np.interp(level, levels, logs)))


@cache
def _curve() -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Return the levels of the table and the logarithms of their seconds."""
    points = sorted(
        (float(LEVEL_NUMBERS[name]), log(leaf.number))
        for name, leaf in row("strings", "bow").items()
    )
    levels, logs = zip(*points, strict=True)
    return levels, logs
