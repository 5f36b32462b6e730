"""Spectra of notes: partials under a two-slope envelope, and bands of noise. Levels in dB."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from redstave.acoustics.erb import cam, frequency

Floats = NDArray[np.float64]

TOP_HZ = 14_000.0  # spectra that end earlier leave gaps in which every octave doubling is heard
LOWEST_HZ = 20.0
EVEN_TOP_HZ = 2000.0  # part of the shape that was fitted, not a finding
NOISE_STEP_CAM = 0.5


class Envelope(NamedTuple):
    """A spectral envelope: corner in Hz, rise below and fall above it in dB an octave.

    `even_drop` in dB is taken from even partials, less and less up to EVEN_TOP_HZ.
    """

    corner: float
    rise: float
    fall: float
    even_drop: float = 0.0

    def level(self, frequency_hz: Floats) -> Floats:
        """Return the level in dB at frequencies in Hz, before normalising."""
        octaves = np.log2(frequency_hz / self.corner)
        return -10.0 * np.log10(
            10.0 ** (-self.rise * octaves / 10.0) + 10.0 ** (self.fall * octaves / 10.0)
        )


class Spectrum(NamedTuple):
    """Components of a sound: frequencies in Hz, levels in dB."""

    frequencies: Floats
    levels: Floats

    def scaled_to(self, level_db: float) -> "Spectrum":
        """Return the same spectrum with its powers summing to `level_db`."""
        present = 10.0 * np.log10(np.sum(10.0 ** (self.levels / 10.0)))
        return Spectrum(self.frequencies, self.levels + (level_db - present))


def harmonics(fundamental_hz: float, envelope: Envelope, level_db: float) -> Spectrum:
    """Return the partials of a note up to 14 kHz, their powers summing to `level_db`."""
    number = np.arange(1, max(1, int(TOP_HZ / fundamental_hz)) + 1)
    frequencies = np.multiply(fundamental_hz, number, dtype=np.float64)
    drop = envelope.even_drop * np.maximum(0.0, 1.0 - frequencies / EVEN_TOP_HZ)
    levels = envelope.level(frequencies) - np.where(number % 2 == 0, drop, 0.0)
    return Spectrum(frequencies, levels).scaled_to(level_db)


def modes(fundamental_hz: float, ratios: Floats, levels_db: Floats, level_db: float) -> Spectrum:
    """Return a struck body's modes at ratios of its fundamental, powers summing to `level_db`."""
    kept = (fundamental_hz * ratios <= TOP_HZ) | (np.arange(len(ratios)) == 0)
    return Spectrum(fundamental_hz * ratios[kept], levels_db[kept]).scaled_to(level_db)


def noise(envelope: Envelope, level_db: float) -> Spectrum:
    """Return noise as one component every 0.5 Cam, powers summing to `level_db`.

    The envelope gives the level of each such band.
    """
    count = int((cam(TOP_HZ) - cam(LOWEST_HZ)) / NOISE_STEP_CAM) + 1
    frequencies = frequency(cam(LOWEST_HZ) + NOISE_STEP_CAM * np.arange(count))
    return Spectrum(frequencies, envelope.level(frequencies)).scaled_to(level_db)
