"""Loudness of a steady sound: ISO 532-2:2017, in float64 on a 0.1-Cam grid."""

import numpy as np
from numpy.typing import ArrayLike

from redstave.acoustics.excitation import band_levels, excitation
from redstave.acoustics.specific import FilterBank, filter_bank, specific_loudness
from redstave.acoustics.tables import ear
from redstave.acoustics.transfer import cochlear_powers


def reference_bank() -> FilterBank:
    """Return the 372 filters of the standard: 1.8 to 38.9 Cam every 0.1 Cam."""
    return filter_bank(1.8, 38.9, 0.1, "float64")


def loudness(
    frequencies_hz: ArrayLike, levels_db: ArrayLike, field: str = "free", ears: int = 2
) -> float:
    """Return the loudness in sone of sinusoidal components at the given levels in dB SPL.

    `field` is "free", "diffuse" or "eardrum"; `ears` is 2 for the same sound at both, else 1.
    ValueError for another field or number of ears.
    """
    if ears not in {1, 2}:
        raise ValueError(f"ears must be 1 or 2, not {ears}")
    frequencies, powers = cochlear_powers(frequencies_hz, levels_db, field)
    bank = reference_bank()
    bands = band_levels(frequencies, frequencies, powers)
    pattern = excitation(bank.centres_hz, frequencies, powers, bands)
    one_ear = sone(float(np.sum(specific_loudness(pattern, bank))), bank.step)
    return one_ear * (ear().number("loudness.both_ears") if ears == 2 else 1.0)


def sone(specific_sum: float, step_cam: float) -> float:
    """Return the loudness in sone at one ear of a sum of specific loudness in units of C."""
    return specific_sum * step_cam * ear().number("loudness.scale")
