"""Partial loudness against an independent implementation.

Partial loudness in sone of a line among others. The independent values come from a C++
implementation of Moore, Glasberg and Baer (1997) with the constants of ANSI S3.4-2007, built and
run unmodified; Redstave uses the constants of ISO 532-2, which differ by about 1 %. "x@L -s [n]"
has n partials, the first at L dB SPL, falling s dB an octave.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from redstave.acoustics import partial_loudness

Spectrum = tuple[NDArray[np.float64], NDArray[np.float64]]


class Case(NamedTuple):
    """A line, its background, and the partial loudness in sone of the C++ implementation."""

    name: str
    line: Spectrum
    background: Spectrum
    sone: float


def note(fundamental_hz: float, level_db: float, fall: float, partials: int) -> Spectrum:
    """Return harmonics of a note falling `fall` dB an octave from the first at `level_db`."""
    number = np.arange(1.0, partials + 1.0)
    return fundamental_hz * number, level_db - fall * np.log2(number)


def together(*parts: Spectrum) -> Spectrum:
    """Return several sounds as one."""
    return np.concatenate([part[0] for part in parts]), np.concatenate([part[1] for part in parts])


def _tone(frequency_hz: float, level_db: float) -> Spectrum:
    return note(frequency_hz, level_db, 0.0, 1)


def cases() -> list[Case]:
    """Return the cases that were run."""
    lines = np.arange(105.0, 10_000.0, 10.0)
    white = (lines, np.full(lines.shape, 40.0))
    low, middle, high = note(65.4, 60, 6, 20), note(523.3, 65, 6, 10), note(784.1, 62, 9, 10)
    soft, loud = note(440.3, 60, 6, 10), note(220.0, 70, 3, 16)
    return [
        Case("1 kHz 60 : 1.1 kHz 60", _tone(1000, 60), _tone(1100, 60), 1.740),
        Case("1.1 kHz 60 : 1 kHz 60", _tone(1100, 60), _tone(1000, 60), 1.799),
        Case("1000.5 Hz 60 : white 30 dB/Hz", _tone(1000.5, 60), white, 1.354),
        Case("1000.5 Hz 50 : white 30 dB/Hz", _tone(1000.5, 50), white, 0.0679),
        Case("1000.5 Hz 48 : white 30 dB/Hz", _tone(1000.5, 48), white, 0.0069),
        Case("1000.5 Hz 40 : white 30 dB/Hz", _tone(1000.5, 40), white, 0.00015),
        Case("200 Hz 60 : 400 Hz 80", _tone(200, 60), _tone(400, 80), 1.4635),
        Case("800 Hz 60 : 400 Hz 80", _tone(800, 60), _tone(400, 80), 2.710),
        Case("440.3@60 -6 [10] : 220@70 -3 [16]", soft, loud, 0.023),
        Case("65.4@60 -6 [20] : the two others", low, together(middle, high), 2.653),
        Case("523.3@65 -6 [10] : the two others", middle, together(low, high), 12.84),
        Case("784.1@62 -9 [10] : the two others", high, together(low, middle), 3.013),
    ]


def table() -> str:
    """Compute every case beside the independent value."""
    rows = ["| line : background | C++, sone | Redstave, sone | margin, dB |", "|---|---|---|---|"]
    for case in cases():
        sone, margin = partial_loudness(case.line, case.background)
        rows.append(f"| {case.name} | {case.sone:g} | {sone:.3g} | {margin:+.1f} |")
    return "\n".join(rows)
