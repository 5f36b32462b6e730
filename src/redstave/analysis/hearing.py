"""What the hall hears: margins, loudness and who covers whom, for every tone in every slice.

Judged by strand (tones that move together are heard as one), shown by line. Everything is an
estimate: each margin carries its standard deviation, from the levels of the strand, the levels of
what covers it, and the hearing model itself.
"""

from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from redstave.acoustics import batch
from redstave.analysis.slices import Slices
from redstave.analysis.spectra import Sound

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

MODEL_SD_DB = 3.0  # rms error of predicted thresholds: Glasberg & Moore 2005, abstract
SLICES_AT_ONCE = 256  # keeps memory flat however long the score


@dataclass(frozen=True)
class Judged:
    """Arrays with one entry a row (a tone in a slice).

    `margin_db` and `sd_db` belong to the strand of the row, as do `loudness` (alone) and `partial`
    (in the company of all else), both in sone; `contribution` is the share of the slice's loudness
    that would go with the row's own tone; `covering` [rows, lines] says how much of what covers the
    strand comes from each line, and adds up to 1 where anything else sounds.
    """

    margin_db: Floats
    sd_db: Floats
    loudness: Floats
    partial: Floats
    contribution: Floats
    covering: Floats


@dataclass(frozen=True)
class Hearing:
    """The whole score heard. `line` and `strand` have one entry a row, as all of `rows`."""

    slices: Slices
    line: Ints
    strand: Ints
    sound: Sound
    rows: Judged


def hear(slices: Slices, sound: Sound, strand: Ints, line: Ints, lines: int) -> Hearing:
    """Judge all rows, some slices at a time so that memory stays small."""
    parts = []
    begins = np.searchsorted(slices.row_slice, np.arange(slices.start.size + 1))
    for first in range(0, slices.start.size, SLICES_AT_ONCE):
        last = min(first + SLICES_AT_ONCE, slices.start.size)
        span = slice(int(begins[first]), int(begins[last]))
        parts.append(
            _judge(sound, span, slices.row_slice[span] - first, last - first, strand, line, lines)
        )
    return Hearing(slices, line, strand, sound, _joined(parts, lines))


def _joined(parts: list[Judged], lines: int) -> Judged:
    if not parts:
        nothing = np.zeros(0)
        return Judged(nothing, nothing, nothing, nothing, nothing, np.zeros((0, lines)))
    columns = ([getattr(part, field.name) for part in parts] for field in fields(Judged))
    return Judged(*(np.concatenate(column) for column in columns))


def _judge(
    sound: Sound,
    span: slice,
    row_slice: Ints,
    slices: int,
    strand: Ints,
    line: Ints,
    lines: int,
) -> Judged:
    """Judge the rows of a span of slices; `row_slice` counts from 0 within the span."""
    excitation = batch.excitations(sound.rows(span.start, span.stop), row_slice, slices)
    _, first_row, of_row = np.unique(strand[span], return_index=True, return_inverse=True)
    own = batch.group_sums(excitation, of_row, first_row.size)
    total = batch.group_sums(excitation, row_slice, slices)
    heard = batch.judge(own, row_slice[first_row], total)
    alone = batch.judge(excitation, row_slice, total)
    covering, sd = _cover(
        excitation, own, of_row, row_slice, line[span], sound.sigma_db[span], lines
    )
    return Judged(
        margin_db=heard.margin[of_row].astype(np.float64),
        sd_db=sd,
        loudness=heard.loudness[of_row].astype(np.float64),
        partial=heard.partial[of_row].astype(np.float64),
        contribution=alone.contribution.astype(np.float64),
        covering=covering,
    )


def _cover(
    excitation: batch.Float32,
    own: batch.Float32,
    of_row: Ints,
    row_slice: Ints,
    line: Ints,
    sigma_db: Floats,
    lines: int,
) -> tuple[Floats, Floats]:
    """Return who covers each row's strand [rows, lines], and the margin's sd in dB [rows].

    The levels of different lines are taken as independent: a strand's own level counts with the
    shares of its members, what covers it with the shares of the maskers.
    """
    covering = np.zeros((of_row.size, lines))
    variance = np.full(of_row.size, MODEL_SD_DB**2)
    edges = np.flatnonzero(np.diff(row_slice, prepend=-1))
    for first, last in zip(edges, [*edges[1:], of_row.size], strict=True):
        rows = slice(int(first), int(last))
        members = excitation[rows]
        strands = of_row[rows]
        same = strands[:, None] == strands[None, :]
        shares = _shares(own[strands], members, same)
        covering[rows] = shares @ (line[rows][:, None] == np.arange(lines))
        spread = sigma_db[rows]
        power = members.sum(axis=1, dtype=np.float64)
        mine = same * power / np.maximum((same * power).sum(axis=1, keepdims=True), 1e-30)
        variance[rows] += (mine**2 + shares**2) @ spread**2
    return covering, np.sqrt(variance)


def _shares(own: batch.Float32, members: batch.Float32, same: NDArray[np.bool_]) -> Floats:
    """Return for each row the share of every other row in what masks its strand.

    The background is looked at where the strand itself would be heard: weighted by E_s^0.2.
    """
    background = np.maximum(members.sum(axis=0) - own, 1e-20)
    weight = own ** np.float32(0.2)
    shares = np.einsum("rk,ok->ro", weight / background, members)
    shares[same] = 0.0
    total = shares.sum(axis=1, keepdims=True)
    found: Floats = shares / np.where(total > 0.0, total, 1.0)
    return found
