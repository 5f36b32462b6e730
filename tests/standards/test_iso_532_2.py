"""ISO 532-2:2017: Annex B and Table 5, as transcribed in open implementations (second-hand)."""

import numpy as np
import pytest

from redstave.acoustics import loudness


def noise(low: float, high: float, density_db: float) -> tuple[np.ndarray, np.ndarray]:
    """White noise as lines every 10 Hz, the first half a step inside the edge."""
    frequencies = np.arange(low + 5.0, high, 10.0)
    return frequencies, np.full(frequencies.shape, density_db + 10.0)


def joined(*parts: tuple) -> tuple[np.ndarray, np.ndarray]:
    """Several spectra as one."""
    return np.concatenate([p[0] for p in parts]), np.concatenate([p[1] for p in parts])


TABLE_5 = {
    0: 0.001, 5: 0.010, 7.5: 0.019, 10: 0.031, 15: 0.073, 20: 0.146, 25: 0.26, 30: 0.43,
    35: 0.67, 40: 1.00, 45: 1.46, 50: 2.09, 55: 2.96, 60: 4.14, 65: 5.77, 70: 8.04, 75: 11.2,
    80: 15.8, 85: 22.7, 90: 32.9, 95: 47.7, 100: 69.6, 105: 102, 110: 151, 115: 225, 120: 337.6,
}  # fmt: skip


@pytest.mark.parametrize(("phon", "sone"), TABLE_5.items())
def test_a_tone_of_1_khz_has_the_loudness_of_table_5(phon, sone):
    """Table 5: 1 % from 20 phon up, 5 % below, plus half a unit of the last printed digit."""
    printed = 0.0005 if sone < 0.2 else 0.005 if sone < 10 else 0.05 if sone < 100 else 0.5
    tolerance = (0.01 if phon >= 20 else 0.05) * sone + printed
    assert loudness([1000.0], [phon]) == pytest.approx(sone, abs=tolerance)


TONES = [
    ([3000], [20], 0.35, 0.02), ([3000], [40], 1.8, 0.02), ([3000], [60], 7.0, 0.02),
    ([3000], [80], 27.2, 0.02), ([100], [50], 0.351, 0.01),
    ([1500, 1600, 1700], [60] * 3, 6.31, 0.01), ([1000, 1600, 2400], [60] * 3, 12.49, 0.01),
    (list(range(100, 1001, 100)), [30] * 10, 2.00, 0.01),
]  # fmt: skip


@pytest.mark.parametrize(("frequencies", "levels", "sone", "tolerance"), TONES)
def test_tones_have_the_loudness_of_annex_b(frequencies, levels, sone, tolerance):
    """Annex B, tones and complexes in free field."""
    assert loudness(frequencies, levels) == pytest.approx(sone, rel=tolerance)


@pytest.mark.parametrize(("level", "sone"), [(20, 0.07), (40, 0.54), (60, 2.31), (80, 8.82)])
def test_one_ear_has_the_loudness_of_annex_b(level, sone):
    """Annex B: 1 kHz at one eardrum; 1 %, or the printed digit where that is coarser."""
    found = loudness([1000], [level], field="eardrum", ears=1)
    assert found == pytest.approx(sone, rel=0.01, abs=0.005)


NOISES = [
    (noise(500, 1500, 40), 14.17), (noise(500, 1500, 30), 7.97), (noise(950, 1050, 40), 4.21),
    (joined(([1000.0], [60.0]), noise(950, 1050, 40)), 5.09),
    (joined(([1000.0], [60.0]), noise(1450, 1550, 40)), 7.17),
]  # fmt: skip


@pytest.mark.parametrize(("spectrum", "sone"), NOISES)
def test_noises_have_the_loudness_of_annex_b(spectrum, sone):
    """Annex B, white noise with and without a tone, 0.5 %."""
    assert loudness(*spectrum) == pytest.approx(sone, rel=0.005)


@pytest.mark.parametrize(("density", "sone"), [(0, 3.64), (20, 15.85), (40, 48.59)])
def test_pink_noise_has_the_loudness_of_annex_b(density, sone):
    """Annex B, pink noise 50 Hz - 15 kHz with the given density at 1 kHz, 1 %."""
    frequencies = np.arange(50.0, 15001.0, 10.0)
    levels = density + 10.0 - 10.0 * np.log10(frequencies / 1000.0)
    assert loudness(frequencies, levels) == pytest.approx(sone, rel=0.01)


def third_octaves(band_db: float) -> tuple[np.ndarray, np.ndarray]:
    """29 equal third octaves from 25 Hz to 16 kHz as lines every 10 Hz, 1 Hz up to 125 Hz."""
    parts = []
    for k in range(-16, 13):
        centre = 1000.0 * 2.0 ** (k / 3.0)
        low, high = centre * 2.0 ** (-1 / 6), centre * 2.0 ** (1 / 6)
        step = 1.0 if centre < 130.0 else 10.0
        lines = np.arange(np.ceil(low / step) * step, high, step)
        parts.append((lines, np.full(lines.shape, band_db - 10 * np.log10((high - low) / step))))
    return joined(*parts)


BANDS = [(0, 0.077), (10, 0.69), (20, 2.54), (30, 6.25), (40, 12.6), (50, 23.1)]


@pytest.mark.parametrize(("level", "sone"), BANDS)
def test_equal_third_octaves_have_the_loudness_of_annex_b(level, sone):
    """Annex B, both ears, 1 % (5 % at 0 dB, where two digits are printed)."""
    tolerance = 0.01 if level else 0.05
    assert loudness(*third_octaves(level)) == pytest.approx(sone, rel=tolerance)


ONE_EAR_BANDS = [(10, 0.08), (20, 0.72), (30, 2.41), (40, 5.55), (50, 10.7)]


@pytest.mark.parametrize(("level", "sone"), ONE_EAR_BANDS)
def test_equal_third_octaves_at_one_ear_have_the_loudness_of_annex_b(level, sone):
    """Annex B, one ear at the eardrum, 1 % or half the printed digit."""
    found = loudness(*third_octaves(level), field="eardrum", ears=1)
    assert found == pytest.approx(sone, rel=0.01, abs=0.005)
