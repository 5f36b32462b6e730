"""The attacks of plucked tones that nobody doubles: a plucked line lives by them."""

import numpy as np
from numpy.typing import NDArray

from redstave.analysis.analysis import Analysis

Flags = NDArray[np.bool_]

PLUCKED = frozenset({"harp", "celesta", "harpsichord"})


def plucked_tones(analysis: Analysis) -> Flags:
    """Return for each tone whether it is plucked: pizzicato, or on an instrument that plucks."""
    lines = analysis.playing.lines
    return np.array(
        [
            tone.technique == "pizz" or lines[tone.line].instrument in PLUCKED
            for tone in analysis.playing.tones
        ],
        dtype=np.bool_,
    )


def plucked_attacks(analysis: Analysis) -> Flags:
    """Return the rows in which a plucked tone that no other line doubles is struck."""
    slices, tones = analysis.slices, analysis.playing.tones
    start = np.array([tone.start for tone in tones], dtype=np.int64)
    doubled = np.array([bool(analysis.shared.get(at)) for at in range(len(tones))], dtype=np.bool_)
    chosen: Flags = (plucked_tones(analysis) & ~doubled)[slices.row_tone]
    struck: Flags = start[slices.row_tone] == slices.start[slices.row_slice]
    return np.logical_and(chosen, struck)
