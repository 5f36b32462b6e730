"""Who covers whom, and how sure that is: shares of the maskers and the spread of the margin."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from redstave.acoustics import batch
from redstave.analysis.tail import Tail

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]

MODEL_SD_DB = 3.0  # rms error of predicted thresholds: Glasberg & Moore 2005, abstract


@dataclass(frozen=True)
class Span:
    """The rows of some whole slices, sorted by slice; all but `excitation` [rows, 75] are [rows].

    `row_slice` counts from 0 within the span, `strand` and `line` as in `Hearing`; `sigma_db` is
    the uncertainty of each row's level.
    """

    excitation: batch.Float32
    row_slice: Ints
    strand: Ints
    line: Ints
    sigma_db: Floats


@dataclass(frozen=True)
class Maskers:
    """What masks in one slice: rows first, then tails. All have one entry a masker, [maskers].

    `same` [rows, maskers] tells which of them belong to the strand of each row and mask nothing.
    """

    excitation: batch.Float32
    line: Ints
    sigma_db: Floats
    same: Flags


def cover(span: Span, lines: int, tail: Tail | None = None) -> tuple[Floats, Floats]:
    """Return who covers each row's strand [rows, lines], and the margin's sd in dB [rows].

    The levels of different lines are taken as independent: a strand's own level counts with the
    shares of its members, what covers it with the shares of the maskers. A tail masks too, in the
    name of the line that left it.
    """
    covering = np.zeros((span.line.size, lines))
    variance = np.full(span.line.size, MODEL_SD_DB**2)
    edges = np.flatnonzero(np.diff(span.row_slice, prepend=-1))
    for first, last in zip(edges, [*edges[1:], span.line.size], strict=True):
        rows = slice(int(first), int(last))
        maskers = _sounding(span, rows)
        if tail is not None:
            maskers = _with_tail(maskers, tail.power[span.row_slice[first]], tail.sigma_db)
        shares = _shares(span.excitation[rows], maskers)
        covering[rows] = shares @ (maskers.line[:, None] == np.arange(lines))
        power = span.excitation[rows].sum(axis=1, dtype=np.float64)
        mine = maskers.same[:, : power.size] * power
        mine /= np.maximum(mine.sum(axis=1, keepdims=True), 1e-30)
        variance[rows] += mine**2 @ span.sigma_db[rows] ** 2 + shares**2 @ maskers.sigma_db**2
    return covering, np.sqrt(variance)


def _sounding(span: Span, rows: slice) -> Maskers:
    strands = span.strand[rows]
    same = strands[:, None] == strands[None, :]
    return Maskers(span.excitation[rows], span.line[rows], span.sigma_db[rows], same)


def _with_tail(sounding: Maskers, tail: batch.Float32, line_sigma_db: Floats) -> Maskers:
    """Add the lines that ring [lines, 75]; what a strand's own lines left does not mask it."""
    ringing = np.flatnonzero(tail.any(axis=1))
    own = sounding.same @ (sounding.line[:, None] == ringing)
    return Maskers(
        np.concatenate([sounding.excitation, tail[ringing]]),
        np.concatenate([sounding.line, ringing]),
        np.concatenate([sounding.sigma_db, line_sigma_db[ringing]]),
        np.concatenate([sounding.same, own], axis=1),
    )


def _shares(members: batch.Float32, maskers: Maskers) -> Floats:
    """Return for each row the share of every masker in what masks its strand [rows, maskers].

    The background is looked at where the strand itself would be heard: weighted by E_s^0.2.
    """
    mine = maskers.same.astype(np.float32)
    own = np.einsum("ro,ok->rk", mine[:, : len(members)], members)
    background = np.maximum(np.einsum("ro,ok->rk", 1 - mine, maskers.excitation), 1e-20)
    weight = own ** np.float32(0.2)
    shares = np.einsum("rk,ok->ro", weight / background, maskers.excitation)
    shares[maskers.same] = 0.0
    total = shares.sum(axis=1, keepdims=True)
    found: Floats = shares / np.where(total > 0.0, total, 1.0)
    return found
