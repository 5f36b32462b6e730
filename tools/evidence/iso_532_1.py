"""Loudness of chords against Zwicker's method.

Steady chords in free field, computed by ISO 532-2 here and by ISO 532-1 with the independent
library mosqito. The two standards differ by design (broad spectra come out louder in ISO 532-2);
what has to agree is the order of clearly different sounds, and the size within a factor of 1.5.
"""

from typing import NamedTuple

import numpy as np
from mosqito.sq_metrics import loudness_zwst
from numpy.typing import NDArray

from redstave.acoustics import loudness

RATE = 48_000
SECONDS = 0.5

Spectrum = tuple[NDArray[np.float64], NDArray[np.float64]]


class Chord(NamedTuple):
    """Fundamentals in Hz, the level of each first partial in dB SPL, fall in dB an octave."""

    name: str
    fundamentals: tuple[float, ...]
    level_db: float
    fall: float

    def spectrum(self) -> Spectrum:
        """Return all partials up to 14 kHz."""
        notes = [
            fundamental * np.arange(1, int(14_000 / fundamental) + 1)
            for fundamental in self.fundamentals
        ]
        levels = [self.level_db - self.fall * np.log2(note / note[0]) for note in notes]
        return np.concatenate(notes), np.concatenate(levels)


CHORDS = (
    Chord("one note", (440.0,), 65, 6),
    Chord("third", (440.0, 554.37), 65, 6),
    Chord("close chord", (261.6, 329.6, 392.0, 523.3), 60, 6),
    Chord("open chord", (98.0, 196.0, 293.7, 493.9), 65, 9),
    Chord("loud chord", (130.8, 196.0, 261.6, 329.6, 392.0, 523.3), 75, 4),
    Chord("soft chord", (261.6, 392.0, 659.3), 40, 9),
    Chord("low chord", (65.4, 98.0, 130.8), 70, 9),
    Chord("high chord", (1046.5, 1318.5, 1568.0), 60, 12),
)


def zwicker(spectrum: Spectrum) -> float:
    """Return the loudness in sone by ISO 532-1 (mosqito) of partials in random phase."""
    time = np.arange(int(RATE * SECONDS)) / RATE
    phases = np.random.default_rng(1).uniform(0.0, 2.0 * np.pi, spectrum[0].size)
    pressure = np.zeros(time.size)
    for frequency, level, phase in zip(*spectrum, phases, strict=True):
        peak = 2e-5 * np.sqrt(2.0) * 10.0 ** (level / 20.0)
        pressure += peak * np.sin(2.0 * np.pi * frequency * time + phase)
    return float(loudness_zwst(pressure, RATE, field_type="free")[0])


def table() -> str:
    """Compute every chord both ways."""
    rows = ["| sound | ISO 532-2, sone | ISO 532-1, sone | ratio |", "|---|---|---|---|"]
    for chord in CHORDS:
        here, there = loudness(*chord.spectrum()), zwicker(chord.spectrum())
        rows.append(f"| {chord.name} | {here:.1f} | {there:.1f} | {here / there:.2f} |")
    return "\n".join(rows)
