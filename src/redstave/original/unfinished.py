"""Where an entry stops being finished: bars of the original that are there only in part."""

from collections.abc import Sequence

import numpy as np

from redstave.model.match import NO_BAR, BarMatch, SourceTone

THERE = 0.5  # share of a bar's tones below which it is there only in part (ours)
RUN = 2  # bars that follow each other; a single thin bar may be meant (ours)


def unfinished(
    bars: Sequence[BarMatch], source: Sequence[SourceTone], left_out: Sequence[int]
) -> tuple[tuple[int, int], ...]:
    """Return stretches of matched bars of the original (first, last) of which most is left out.

    Bars in which the original rests belong to a stretch only between two others.
    """
    matched = {one.original for one in bars if NO_BAR not in one[:2]}
    count = max(matched, default=-1) + 1
    everything, lost = np.zeros(count), np.zeros(count)
    missing = set(left_out)
    for at, tone in enumerate(source):
        if tone.bar in matched:
            everything[tone.bar] += 1
            lost[tone.bar] += at in missing
    stretches: list[list[int]] = [[]]
    for bar in range(count):
        if lost[bar] > THERE * everything[bar]:
            stretches[-1].append(bar)
        elif everything[bar] or bar not in matched:
            stretches.append([])
    return tuple((one[0], one[-1]) for one in stretches if len(one) >= RUN)
