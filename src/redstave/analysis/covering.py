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
    """The rows of some whole slices, sorted by slice, one entry a row.

    `excitation` is [rows, 75]; `row_slice` counts from 0 within the span; `strand` and `line` are
    as in `Hearing`; `sigma_db` is the uncertainty of each row's level.
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


def cover(
    span: Span, pull: batch.Float32, kind_of_line: Ints, tail: Tail | None = None
) -> tuple[Floats, Floats]:
    """Return who covers each row's strand [rows, lines], and the margin's sd in dB [rows].

    `pull` [rows, 75] is that of each row's strand (see `batch.Judgement`), `kind_of_line` [lines]
    numbers the instruments. What is not known of an instrument's level is
    not known of all who play it: their levels err together, those of different instruments
    independently. A margin rises with its strand by the shares of the members, and falls with what
    covers it by the slopes of the maskers, whose shares say who covers. A tail masks too, in the
    name of the line that left it.
    """
    lines = kind_of_line.size
    covering = np.zeros((span.line.size, lines))
    variance = np.full(span.line.size, MODEL_SD_DB**2)
    of_line, of_kind = np.eye(lines), np.eye(int(kind_of_line.max(initial=0)) + 1)[kind_of_line]
    edges = np.flatnonzero(np.diff(span.row_slice, prepend=-1))
    for first, last in zip(edges, [*edges[1:], span.line.size], strict=True):
        rows = slice(int(first), int(last))
        maskers = _sounding(span, rows)
        if tail is not None:
            maskers = _with_tail(maskers, tail.power[span.row_slice[first]], tail.sigma_db)
        slopes = _slopes(pull[rows], maskers)
        covering[rows] = slopes @ of_line[maskers.line]
        moved = (_members(span.excitation[rows], maskers) - slopes) * maskers.sigma_db
        variance[rows] += np.square(moved @ of_kind[maskers.line]).sum(axis=1)
    whole = covering.sum(axis=1, keepdims=True)
    return covering / np.where(whole > 0.0, whole, 1.0), np.sqrt(variance)


def _members(members: batch.Float32, maskers: Maskers) -> Floats:
    """Return for each row the share of every masker in its own strand [rows, maskers]."""
    power = np.zeros(maskers.line.size)
    power[: len(members)] = members.sum(axis=1)
    mine = maskers.same * power
    found: Floats = mine / np.maximum(mine.sum(axis=1, keepdims=True), 1e-30)
    return found


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


def _slopes(pull: batch.Float32, maskers: Maskers) -> Floats:
    """Return by how many dB the margin of each row falls with each dB of a masker."""
    slopes: Floats = np.einsum("rk,ok->ro", pull, maskers.excitation).astype(np.float64)
    slopes[maskers.same] = 0.0
    return slopes
