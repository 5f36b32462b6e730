"""Where a tone was struck: the parts of one held tone have one attack."""

from collections import defaultdict
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from redstave.model.line import Tone

Ints = NDArray[np.int64]


def attack_of(tones: Sequence[Tone]) -> Ints:
    """Return for each tone the tone (index) in which it was struck: itself, unless `continued`."""
    found = np.arange(len(tones))
    if not any(tone.continued for tone in tones):
        return found
    held: dict[tuple[int, float, int], list[int]] = defaultdict(list)
    for at, tone in enumerate(tones):
        before = held[tone.line, tone.midi, tone.start]
        if tone.continued and before:
            found[at] = before.pop(0)
        held[tone.line, tone.midi, tone.stop].append(int(found[at]))
    return found


def counted(fresh: NDArray[np.bool_]) -> Ints:
    """Return 0, 1, 2 … from each true flag on; the first flag must be true."""
    at = np.arange(fresh.size)
    counting: Ints = at - np.maximum.accumulate(np.where(fresh, at, 0))
    return counting
