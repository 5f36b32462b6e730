"""Spectra of notes: partials under a two-slope envelope, and bands of noise. Levels in dB."""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from redstave.acoustics.erb import cam, frequency

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

TOP_HZ = 14_000.0  # spectra that end earlier leave gaps in which every octave doubling is heard
LOWEST_HZ = 20.0
EVEN_TOP_HZ = 2000.0  # part of the shape that was fitted, not a finding
NOISE_STEP_CAM = 0.5


class Envelope(NamedTuple):
    """A spectral envelope: corner in Hz, rise below and fall above it in dB an octave.

    `even_drop` in dB is taken from even partials, less and less up to EVEN_TOP_HZ. Each is a
    number, or an array with one entry a note.
    """

    corner: Floats | float
    rise: Floats | float
    fall: Floats | float
    even_drop: Floats | float = 0.0

    def level(self, frequency_hz: Floats) -> Floats:
        """Return the level in dB at frequencies in Hz, before normalising."""
        octaves = np.log2(frequency_hz / self.corner)
        return -10.0 * np.log10(
            10.0 ** (-self.rise * octaves / 10.0) + 10.0 ** (self.fall * octaves / 10.0)
        )

    def of(self, note: Ints, notes: int) -> "Envelope":
        """Return the envelope with one entry a component, `note` being the note of each."""
        return Envelope(*(np.broadcast_to(column, notes)[note] for column in self))


class Spectrum(NamedTuple):
    """Components of one or more notes, sorted by note: frequencies in Hz, levels in dB.

    `note` numbers the note of each component from 0.
    """

    frequencies: Floats
    levels: Floats
    note: Ints

    def scaled_to(self, level_db: ArrayLike) -> "Spectrum":
        """Return the same notes, the powers of each summing to its level, `level_db` [notes]."""
        goal = np.atleast_1d(np.asarray(level_db, dtype=np.float64))
        present = np.bincount(self.note, 10.0 ** (self.levels / 10.0), minlength=goal.size)
        shift = goal - 10.0 * np.log10(present)
        return self._replace(levels=self.levels + shift[self.note])


def harmonics(fundamental_hz: ArrayLike, envelope: Envelope, level_db: ArrayLike) -> Spectrum:
    """Return the partials of notes up to 14 kHz, the powers of each summing to its level.

    `fundamental_hz` and `level_db` are numbers for one note or arrays [notes].
    """
    fundamental = np.atleast_1d(np.asarray(fundamental_hz, dtype=np.float64))
    partials = np.maximum(1, TOP_HZ / fundamental).astype(np.int64)
    note = np.repeat(np.arange(fundamental.size), partials)
    number = np.arange(note.size) - (np.cumsum(partials) - partials)[note] + 1
    frequencies = fundamental[note] * number
    shape = envelope.of(note, fundamental.size)
    drop = shape.even_drop * np.maximum(0.0, 1.0 - frequencies / EVEN_TOP_HZ)
    levels = shape.level(frequencies) - np.where(number % 2 == 0, drop, 0.0)
    return Spectrum(frequencies, levels, note).scaled_to(level_db)


def modes(
    fundamental_hz: ArrayLike, ratios: Floats, levels_db: Floats, level_db: ArrayLike
) -> Spectrum:
    """Return a struck body's modes at ratios of its fundamentals, powers summing to the levels."""
    fundamental = np.atleast_1d(np.asarray(fundamental_hz, dtype=np.float64))
    frequencies = fundamental[:, None] * ratios
    kept = (frequencies <= TOP_HZ) | (np.arange(len(ratios)) == 0)
    note, mode = np.nonzero(kept)
    return Spectrum(frequencies[kept], levels_db[mode], note).scaled_to(level_db)


def noise(envelope: Envelope, level_db: ArrayLike) -> Spectrum:
    """Return noise as one component every 0.5 Cam, powers summing to each of the levels.

    The envelope gives the level of each such band.
    """
    notes = np.atleast_1d(np.asarray(level_db)).size
    count = int((cam(TOP_HZ) - cam(LOWEST_HZ)) / NOISE_STEP_CAM) + 1
    note = np.repeat(np.arange(notes), count)
    frequencies = np.tile(frequency(cam(LOWEST_HZ) + NOISE_STEP_CAM * np.arange(count)), notes)
    return Spectrum(frequencies, envelope.of(note, notes).level(frequencies), note).scaled_to(
        level_db
    )
