"""The reverberant tail: what the hall still holds of each line, and lets it mask of others.

Every line feeds the hall: what rings of it follows R' = -a R + a rho E, with E the excitation of
the line, rho the reverberant share of its energy at the listener and a = 13.8 / T. A tone that
sounds is counted at its full reverberant level from its start, so only what rings beyond that,
R - rho E, is a tail; a note held or repeated has none. Linear in E.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from redstave.acoustics import batch
from redstave.instruments import Hall, InstrumentBook
from redstave.model.line import Line

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True)
class Ringing:
    """How lines ring in a hall: `share` [lines, 75] of their energy, `rate` [75] of decay in 1/s.

    `sigma_db` [lines] is the usual uncertainty of a line's level. A line of an unknown instrument
    does not sound and has the share 0.
    """

    share: batch.Float32
    rate: Floats
    sigma_db: Floats


class Tail(NamedTuple):
    """What still rings of each line: `power` [slices, lines, 75], `sigma_db` [lines] of its level.

    The power is that of the excitation, in the middle of each slice.
    """

    power: batch.Float32
    sigma_db: Floats


def ringing(
    hall: Hall, lines: Sequence[Line], book: InstrumentBook, row_line: Ints, row_sigma_db: Floats
) -> Ringing | None:
    """Return how the lines ring in a hall, None where the hall is taken without its tail.

    `row_line` and `row_sigma_db` give line and uncertainty of the level of each row.
    """
    if not hall.tail:
        return None
    places = batch.bank().centres_hz
    silent = np.zeros(places.size)
    known = [line.instrument in book for line in lines]
    shares = [
        hall.reverberant_share(book[line.instrument], places) if sounds else silent
        for line, sounds in zip(lines, known, strict=True)
    ]
    rows = np.bincount(row_line, minlength=len(lines))
    sigma = np.bincount(row_line, row_sigma_db, minlength=len(lines)) / np.maximum(rows, 1)
    return Ringing(np.array(shares, dtype=np.float32), hall.decay_rate(places), sigma)


@dataclass(frozen=True)
class Ring:
    """What rings of each line [lines, 75], as a power at the time `at` in seconds."""

    power: batch.Float32
    at: float


def silence(ringing: Ringing) -> Ring:
    """Return the hall before the first note."""
    return Ring(np.zeros_like(ringing.share), 0.0)


def tails(
    ringing: Ringing, before: Ring, sounding: batch.Float32, start_s: Floats, stop_s: Floats
) -> tuple[Tail, Ring]:
    """Return each line's tail in the middle of each slice, and what rings at the end.

    `sounding` [slices, lines, 75] is the excitation of each line, `before` the ring from earlier.
    """
    seconds = (stop_s - start_s)[:, None]
    steady = ringing.share * sounding
    kept = np.exp(-ringing.rate * seconds).astype(np.float32)[:, None]
    pauses = start_s - np.concatenate([[before.at], stop_s[:-1]])
    across = np.exp(-ringing.rate * pauses[:, None]).astype(np.float32)
    fed = steady * (1 - kept)
    at_start = np.empty_like(steady)
    power = before.power
    for index, faded in enumerate(across):
        at_start[index] = power * faded
        power = at_start[index] * kept[index] + fed[index]
    beyond = np.maximum(at_start - steady, 0)
    return Tail(beyond * np.sqrt(kept), ringing.sigma_db), Ring(power, float(stop_s[-1]))


def by_line(
    excitation: batch.Float32, row_slice: Ints, line: Ints, shape: tuple[int, int]
) -> batch.Float32:
    """Return the excitation of each line in each slice [slices, lines, 75]."""
    slices, lines = shape
    summed = batch.group_sums(excitation, row_slice * lines + line, slices * lines)
    return summed.reshape(slices, lines, -1)


def of_others(
    tail: batch.Float32, line: Ints, of_row: Ints, slice_of_strand: Ints
) -> batch.Float32:
    """Return for each strand the tail of all lines but its own [strands, 75].

    `line` and `of_row` give line and strand of each row.
    """
    lines = tail.shape[1]
    strand, member = np.divmod(np.unique(of_row * lines + line), lines)
    own = batch.group_sums(tail[slice_of_strand[strand], member], strand, slice_of_strand.size)
    return batch.background_of(own, tail.sum(axis=1)[slice_of_strand])
