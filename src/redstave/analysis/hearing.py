"""What the hall hears: margins, loudness and who covers whom, for every tone in every slice.

Judged by strand (tones that move together are heard as one), shown by line. Everything is an
estimate: each margin carries its standard deviation, from the levels of the strand, the levels of
what covers it, and the hearing model itself.
"""

from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from redstave.acoustics import batch
from redstave.analysis.covering import Span, cover
from redstave.analysis.slices import Slices
from redstave.analysis.spectra import Sound
from redstave.analysis.tail import Ringing, Tail, by_line, of_others, silence, tails

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

SLICES_AT_ONCE = 256  # keeps memory flat however long the score


@dataclass(frozen=True)
class Judged:
    """Arrays with one entry a row (a tone in a slice).

    `margin_db` and `sd_db` belong to the strand of the row, as do `loudness` (alone) and `partial`
    (in the company of all else), both in sone; `contribution` is the share of the slice's loudness
    that would go with the row's own tone; `covering` [rows, lines] says how much of what covers the
    strand comes from each line (a tail in the hall counts for the line that left it): the shares
    add up to 1 where anything else sounds.
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


def hear(
    slices: Slices,
    sound: Sound,
    strand: Ints,
    line: Ints,
    lines: int,
    ringing: Ringing | None = None,
) -> Hearing:
    """Judge all rows, some slices at a time so that memory stays small.

    `strand` and `line` have one entry a row. With `ringing` the hall's tail masks too.
    """
    parts = []
    ring = silence(ringing) if ringing else None
    sigma_db = sound.sigma_db
    kind_of_line = _kinds(sound, line, lines)
    begins = np.searchsorted(slices.row_slice, np.arange(slices.start.size + 1))
    for first in range(0, slices.start.size, SLICES_AT_ONCE):
        last = min(first + SLICES_AT_ONCE, slices.start.size)
        rows = slice(int(begins[first]), int(begins[last]))
        row_slice = slices.row_slice[rows] - first
        excitation = batch.excitations(sound.rows(rows), row_slice, last - first)
        tail = None
        if ringing and ring:
            sounding = by_line(excitation, row_slice, line[rows], (last - first, lines))
            times = slices.start_s[first:last], slices.stop_s[first:last]
            tail, ring = tails(ringing, ring, sounding, *times)
        span = Span(excitation, row_slice, strand[rows], line[rows], sigma_db[rows])
        parts.append(_judge(span, last - first, kind_of_line, tail))
    return Hearing(slices, line, strand, sound, _joined(parts, lines))


def _kinds(sound: Sound, line: Ints, lines: int) -> Ints:
    """Return a number for each line [lines], equal for equal instruments."""
    numbers: dict[str, int] = {}
    voices = sound.palette.voices
    of_voice = [numbers.setdefault(voice.instrument, len(numbers)) for voice in voices]
    found = np.zeros(lines, dtype=np.int64)
    found[line] = np.array(of_voice, dtype=np.int64)[sound.voice]
    return found


def _joined(parts: list[Judged], lines: int) -> Judged:
    if not parts:
        nothing = np.zeros(0)
        return Judged(nothing, nothing, nothing, nothing, nothing, np.zeros((0, lines)))
    columns = ([getattr(part, field.name) for part in parts] for field in fields(Judged))
    return Judged(*(np.concatenate(column) for column in columns))


def _judge(span: Span, slices: int, kind_of_line: Ints, tail: Tail | None) -> Judged:
    """Judge the rows of a span of slices, with what rings in the hall if that is to count."""
    _, first_row, of_row = np.unique(span.strand, return_index=True, return_inverse=True)
    own = batch.group_sums(span.excitation, of_row, first_row.size)
    total = batch.group_sums(span.excitation, span.row_slice, slices)
    at = span.row_slice[first_row]
    beside = None
    if tail is not None:
        beside = of_others(tail.power, span.line, of_row, at)
    heard = batch.judge(own, at, total, beside=beside)
    covering, sd = cover(span, heard.pull[of_row], kind_of_line, tail)
    return Judged(
        margin_db=heard.margin[of_row].astype(np.float64),
        sd_db=sd,
        loudness=heard.loudness[of_row].astype(np.float64),
        partial=heard.partial[of_row].astype(np.float64),
        contribution=batch.contributions(span.excitation, span.row_slice, total).astype(np.float64),
        covering=covering,
    )
