"""Inner voices of soft chords: where one voice that comes forward is heard by everybody.

In a soft passage in which the voices strike together, nothing but loudness tells them apart. There
a tone in the middle that is louder than the rest sticks out. In loud tutti and in busy textures it
has other company, and is left to other judgements.
"""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from redstave.analysis.analysis import Analysis
from redstave.analysis.passages import Passage, passages
from redstave.analysis.slices import Slices
from redstave.model.role import Role

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]

LEAST_STRANDS = 3  # a chord has an inner voice from three voices on
LEAST_TOGETHER = 0.8  # of the other voices strike with it, taken over the passage
LOUDEST_SOFT = 5.25  # mean written level; mf is 5, a swell may begin
LEAST_QUARTERS = 2.0  # shorter ones are passing notes
# All four are ours (no source).


def inner_voices(analysis: Analysis) -> Iterator[Passage]:
    """Yield the passages in which a line is an inner voice of soft chords struck together."""
    hearing, slices = analysis.hearing, analysis.slices
    _, first = np.unique(hearing.strand, return_index=True)
    strands = np.bincount(slices.row_slice[first], minlength=slices.start.size)
    chosen = analysis.roles.rows(slices, hearing.line, Role.INNER) & analysis.sound.sustained
    chosen &= _between(analysis) & (strands[slices.row_slice] >= LEAST_STRANDS)
    struck = _struck(analysis)
    together = _together(hearing.strand, struck, slices, first, strands)
    level = _mean_level(analysis)
    quarter = analysis.score.ticks_per_quarter
    for passage in passages(hearing, chosen, quarter, quarter):
        at = slices.row_slice[passage.rows]
        strokes = at[struck[passage.rows]]
        if (
            passage.quarters >= LEAST_QUARTERS
            and strokes.size
            and together[strokes].mean() >= LEAST_TOGETHER
            and np.median(level[at]) <= LOUDEST_SOFT
        ):
            yield passage


def _between(analysis: Analysis) -> Flags:
    """Return the rows whose tone lies neither highest nor lowest in its slice."""
    traits, at = analysis.traits, analysis.slices.row_slice
    top = np.fmax.reduce(traits.highest, axis=1, initial=-np.inf)
    ground = np.fmin.reduce(traits.lowest, axis=1, initial=np.inf)
    tones = analysis.playing.tones
    midi = np.array([np.nan if tone.unpitched else tone.midi for tone in tones])
    pitch = midi[analysis.slices.row_tone]
    found: Flags = (pitch < top[at]) & (pitch > ground[at])
    return found


def _struck(analysis: Analysis) -> Flags:
    """Return the rows in which a tone begins."""
    start = np.array([tone.start for tone in analysis.playing.tones], dtype=np.int64)
    found: Flags = (
        start[analysis.slices.row_tone] == analysis.slices.start[analysis.slices.row_slice]
    )
    return found


def _together(strand: Ints, struck: Flags, slices: Slices, first: Ints, strands: Ints) -> Floats:
    """Return for each slice the share of other strands that strike, seen from one that does."""
    strikes = np.zeros(int(strand.max(initial=-1)) + 1)
    strikes[strand[struck]] = 1.0
    number = np.bincount(
        slices.row_slice[first], strikes[strand[first]], minlength=slices.start.size
    )
    found: Floats = (number - 1.0) / np.maximum(strands - 1, 1)
    return found


def _mean_level(analysis: Analysis) -> Floats:
    """Return the mean written level of all tones in each slice."""
    at, count = analysis.slices.row_slice, analysis.slices.start.size
    tones = analysis.playing.tones
    level = np.array([(tone.level + tone.level_stop) / 2.0 for tone in tones])
    total = np.bincount(at, level[analysis.slices.row_tone], minlength=count)
    found: Floats = total / np.maximum(np.bincount(at, minlength=count), 1)
    return found
