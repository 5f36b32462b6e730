"""Hearing a score again when a few things have changed: slices that are as they were are kept.

A slice is as it was when the same voices sound in it, equally loud, in the same lines and strands.
This is asked of its content, so it does not matter what was changed, or why nothing came of it.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from redstave.analysis.hearing import Hearing, Judged, hear
from redstave.analysis.slices import Slices
from redstave.analysis.spectra import Sound
from redstave.model.line import Tone

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]


def same_notes(before: Sequence[Tone], now: Sequence[Tone]) -> bool:
    """Tell whether the same lines play the same notes at the same times, however they play them."""
    return len(before) == len(now) and all(
        one is other or _note(one) == _note(other) for one, other in zip(before, now, strict=True)
    )


def _note(tone: Tone) -> tuple[int, int, int, float, bool, bool]:
    return tone.line, tone.start, tone.stop, tone.midi, tone.unpitched, tone.continued


def hear_again(
    known: Hearing, slices: Slices, sound: Sound, strand: Ints, line: Ints, lines: int
) -> Hearing:
    """Return what `hear` returns without a tail, judging only the slices that are new.

    `sound` must be made on the palette of the known hearing, and lines keep their numbers.
    """
    source = taken_over(known, slices, sound, strand, line)
    new = np.flatnonzero(source < 0)
    part, judged_anew = slices.only(new)
    fresh = hear(part, sound.only(judged_anew), strand[judged_anew], line[judged_anew], lines)
    kept = np.flatnonzero(source >= 0)
    _, to = slices.only(kept)
    _, of = known.slices.only(source[kept])
    return Hearing(
        slices, line, strand, sound, _merged(known.rows, of, to, fresh.rows, judged_anew, lines)
    )


def taken_over(known: Hearing, slices: Slices, sound: Sound, strand: Ints, line: Ints) -> Ints:
    """Return for each slice the number of the known slice it equals, -1 where there is none."""
    before = known.slices
    at = np.minimum(np.searchsorted(before.start, slices.start), max(0, before.start.size - 1))
    if before.start.size == 0:
        return np.full(slices.start.size, -1)
    rows, rows_before = slices.row_counts, before.row_counts[at]
    alike = (before.start[at] == slices.start) & (rows == rows_before)
    candidates = np.flatnonzero(alike)
    _, mine = slices.only(candidates)
    _, theirs = before.only(at[candidates])
    same = (
        (sound.voice[mine] == known.sound.voice[theirs])
        & (sound.gain_db[mine] == known.sound.gain_db[theirs])
        & (line[mine] == known.line[theirs])
        & (_within(strand, slices)[mine] == _within(known.strand, before)[theirs])
    )
    different = np.bincount(slices.row_slice[mine[~same]], minlength=slices.start.size) > 0
    found: Ints = np.where(alike & ~different, at, -1)
    return found


def _within(strand: Ints, slices: Slices) -> Ints:
    """Return the strand of each row counted from 0 within its slice; the first row has the 0."""
    first = np.cumsum(slices.row_counts) - slices.row_counts
    counted: Ints = strand - strand[first][slices.row_slice]
    return counted


def _merged(known: Judged, of: Ints, to: Ints, fresh: Judged, anew: Ints, lines: int) -> Judged:
    rows = to.size + anew.size

    def joined(old: Floats, new: Floats) -> Floats:
        column = np.empty(rows)
        column[to], column[anew] = old[of], new
        return column

    covering = np.zeros((rows, lines))
    covering[to, : known.covering.shape[1]] = known.covering[of]
    covering[anew] = fresh.covering
    return Judged(
        margin_db=joined(known.margin_db, fresh.margin_db),
        sd_db=joined(known.sd_db, fresh.sd_db),
        loudness=joined(known.loudness, fresh.loudness),
        partial=joined(known.partial, fresh.partial),
        contribution=joined(known.contribution, fresh.contribution),
        covering=covering,
    )
