"""Loudness against ISO 532-2:2017.

Annex B and Table 5 of the standard, as transcribed in open implementations that name them; the
printed standard was not read. The tolerance is that of the tests: 0.5 to 2 %, wider only where the
standard prints one or two digits.
"""

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from redstave.acoustics import loudness

Spectrum = tuple[NDArray[np.float64], NDArray[np.float64]]

TABLE_5 = {
    0: 0.001, 2.2: 0.004, 4: 0.008, 5: 0.010, 7.5: 0.019, 10: 0.031, 15: 0.073, 20: 0.146,
    25: 0.26, 30: 0.43, 35: 0.67, 40: 1.00, 45: 1.46, 50: 2.09, 55: 2.96, 60: 4.14, 65: 5.77,
    70: 8.04, 75: 11.2, 80: 15.8, 85: 22.7, 90: 32.9, 95: 47.7, 100: 69.6, 105: 102.0, 110: 151.0,
    115: 225.0, 120: 337.6,
}  # fmt: skip


class Case(NamedTuple):
    """A sound, the loudness in sone that the standard prints, and the tolerance in sone."""

    name: str
    spectrum: Spectrum
    printed: float
    tolerance: float
    field: str = "free"
    ears: int = 2

    def computed(self) -> float:
        """Return the loudness in sone that Redstave computes."""
        return loudness(*self.spectrum, field=self.field, ears=self.ears)


def tones(frequencies: list[float], level_db: float) -> Spectrum:
    """Return tones of the same level."""
    return np.array(frequencies), np.full(len(frequencies), level_db)


def white(low_hz: float, high_hz: float, density_db: float) -> Spectrum:
    """Return white noise as lines every 10 Hz, the first half a step inside the edge."""
    frequencies = np.arange(low_hz + 5.0, high_hz, 10.0)
    return frequencies, np.full(frequencies.shape, density_db + 10.0)


def pink(density_db: float) -> Spectrum:
    """Return pink noise from 50 Hz to 15 kHz with the given density in dB at 1 kHz."""
    frequencies = np.arange(50.0, 15001.0, 10.0)
    return frequencies, density_db + 10.0 - 10.0 * np.log10(frequencies / 1000.0)


def together(*parts: Spectrum) -> Spectrum:
    """Return several sounds as one."""
    return np.concatenate([part[0] for part in parts]), np.concatenate([part[1] for part in parts])


def third_octaves(band_db: float) -> Spectrum:
    """Return 29 equal third octaves from 25 Hz up: lines every 10 Hz, 1 Hz up to 125 Hz."""
    return together(*(_third_octave(1000.0 * 2.0 ** (k / 3.0), band_db) for k in range(-16, 13)))


def _third_octave(centre_hz: float, band_db: float) -> Spectrum:
    low, high = centre_hz * 2.0 ** (-1.0 / 6.0), centre_hz * 2.0 ** (1.0 / 6.0)
    step = 1.0 if centre_hz < 130.0 else 10.0
    lines = np.arange(np.ceil(low / step) * step, high, step)
    return lines, np.full(lines.shape, band_db - 10.0 * np.log10((high - low) / step))


def table_5() -> Iterator[Case]:
    """Yield Table 5: 1 % from 20 phon up, 5 % below, and half a unit of the last digit printed."""
    for phon, sone in TABLE_5.items():
        digit = 0.5 * 10.0 ** -_decimals(sone)
        relative = 0.01 if phon >= 20 else 0.05
        yield Case(f"1 kHz {phon:g} dB", tones([1000.0], phon), sone, relative * sone + digit)


def _decimals(sone: float) -> int:
    """Return how many decimals the standard prints: three below 0.2 sone, none above 100."""
    return 3 if sone < 0.2 else 2 if sone < 10.0 else 1 if sone < 100.0 else 0


def annex_b() -> Iterator[Case]:
    """Yield the sounds of Annex B."""
    yield from _annex_b_tones()
    yield from _annex_b_noises()
    yield from _annex_b_bands()


def _annex_b_tones() -> Iterator[Case]:
    for level, sone in ((20, 0.35), (40, 1.8), (60, 7.0), (80, 27.2)):
        yield Case(f"3 kHz {level} dB", tones([3000.0], level), sone, 0.02 * sone)
    yield Case("100 Hz 50 dB", tones([100.0], 50), 0.351, 0.01 * 0.351)
    for level, sone in ((20, 0.07), (40, 0.54), (60, 2.31), (80, 8.82)):
        name = f"1 kHz {level} dB at one eardrum"
        yield Case(name, tones([1000.0], level), sone, 0.01 * sone + 0.005, "eardrum", 1)
    yield Case("1500, 1600, 1700 Hz 60 dB", tones([1500, 1600, 1700], 60), 6.31, 0.0631)
    yield Case("1000, 1600, 2400 Hz 60 dB", tones([1000, 1600, 2400], 60), 12.49, 0.1249)
    harmonics = [100.0 * number for number in range(1, 11)]
    yield Case("ten harmonics of 100 Hz 30 dB", tones(harmonics, 30), 2.00, 0.02)


def _annex_b_noises() -> Iterator[Case]:
    for density, sone in ((0, 3.64), (20, 15.85), (40, 48.59)):
        yield Case(f"pink noise, {density} dB/Hz at 1 kHz", pink(density), sone, 0.01 * sone)
    wide, narrow = white(500, 1500, 40), white(950, 1050, 40)
    yield Case("white 500-1500 Hz, 40 dB/Hz", wide, 14.17, 0.005 * 14.17)
    yield Case("white 500-1500 Hz, 30 dB/Hz", white(500, 1500, 30), 7.97, 0.005 * 7.97)
    yield Case("white 950-1050 Hz, 40 dB/Hz", narrow, 4.21, 0.005 * 4.21)
    tone, beside = tones([1000.0], 60), white(1450, 1550, 40)
    yield Case("1 kHz 60 dB with it", together(tone, narrow), 5.09, 0.005 * 5.09)
    yield Case("1 kHz 60 dB with white 1450-1550 Hz", together(tone, beside), 7.17, 0.005 * 7.17)


def _annex_b_bands() -> Iterator[Case]:
    both = ((0, 0.077), (10, 0.69), (20, 2.54), (30, 6.25), (40, 12.6), (50, 23.1))
    for level, sone in both:
        share = 0.05 if level == 0 else 0.01
        yield Case(f"29 third octaves {level} dB", third_octaves(level), sone, share * sone)
    for level, sone in ((10, 0.08), (20, 0.72), (30, 2.41), (40, 5.55), (50, 10.7)):
        name = f"29 third octaves {level} dB at one eardrum"
        yield Case(name, third_octaves(level), sone, 0.01 * sone + 0.005, "eardrum", 1)


def table() -> str:
    """Compute every case beside the printed value."""
    head = ["| sound | ISO 532-2, sone | Redstave, sone | tolerance, sone |", "|---|---|---|---|"]
    rows = (
        f"| {case.name} | {case.printed:g} | {case.computed():.4g} | {case.tolerance:.2g} |"
        for case in (*annex_b(), *table_5())
    )
    return "\n".join([*head, *rows])
