"""What a listener is meant to follow: the rows that are written as a tune, heard or not."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from redstave.analysis.analysis import Analysis
from redstave.analysis.candidates import only_mover
from redstave.analysis.passages import Passage, by_strand, heard, passages
from redstave.analysis.tune import marked_rows

Flags = NDArray[np.bool_]

LEAST_QUARTERS = 2.0  # a shorter passage is no tune to be rescued (ours)
LEAST_CHANCE = 0.7  # likelier than this to be heard, it may stay as it is (ours)


class Buried(NamedTuple):
    """A passage of a line (index) in bars `first` to `last` (indices, both inside)."""

    line: int
    first: int
    last: int


def tune_rows(analysis: Analysis) -> Flags:
    """Return for each row of the hearing whether its line is written as a tune.

    The page calls it leading, or its strand has the signs of a tune, or it alone moves by steps
    where neither the original nor the teacher says who has the tune; what is plucked or has no
    pitch only counts where the page calls it leading.
    """
    hearing, slices = analysis.hearing, analysis.slices
    tones, row_tone = analysis.playing.tones, slices.row_tone
    leads = hearing.strand == analysis.tune.strand[slices.row_slice]
    moves = only_mover(
        hearing, analysis.movement.changes[row_tone], analysis.movement.leap[row_tone]
    )
    moves &= ~analysis.tune_named[slices.row_slice]
    pitched = np.array([not tone.unpitched for tone in tones], dtype=np.bool_)[row_tone]
    found: Flags = (leads | moves) & analysis.sound.sustained & pitched
    return found | marked_rows(slices, hearing.line, analysis.leads)


def buried_tunes(analysis: Analysis) -> tuple[Buried, ...]:
    """Return the passages written as a tune of which it is doubtful that the hall hears them.

    Lines that double each other are one: the first of the page stands for all.
    """
    hearing, quarter = analysis.hearing, analysis.score.ticks_per_quarter
    found = (
        passage
        for passage in passages(hearing, tune_rows(analysis), quarter, quarter)
        if passage.quarters >= LEAST_QUARTERS and heard(hearing, passage.rows).chance < LEAST_CHANCE
    )
    return tuple(_buried(analysis, doubled[0]) for doubled in by_strand(hearing, found))


def _buried(analysis: Analysis, passage: Passage) -> Buried:
    bar_at = analysis.score.bar_at
    return Buried(passage.line, bar_at(passage.start), bar_at(passage.stop - 1))
