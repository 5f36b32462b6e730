"""Excitation pattern: ISO 532-2, clause 7.4. Powers are relative to 0 dB."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from redstave.acoustics.erb import sharpness
from redstave.acoustics.tables import ear

Floats = NDArray[np.float64]

SILENT_DB = -100.0


def rounded_exponential(deviation: Floats, p: Floats) -> Floats:
    """Return the filter weight (1 + p|g|) exp(-p|g|) at a relative deviation g from its centre."""
    slope = p * np.abs(deviation)
    weight: Floats = (1.0 + slope) * np.exp(-slope)
    return np.where(deviation > ear().number("filter.reach"), 0.0, weight)


def band_levels(centres_hz: Floats, frequencies_hz: Floats, powers: Floats) -> Floats:
    """Return the level in dB of the components within one ERB around each centre (X in the notes).

    Shapes: centres [n], frequencies and powers [m]; the result is [n].
    """
    deviation = (frequencies_hz - centres_hz[:, None]) / centres_hz[:, None]
    weights = rounded_exponential(deviation, sharpness(centres_hz)[:, None])
    power = np.maximum((weights * powers).sum(axis=1), 10.0 ** (SILENT_DB / 10.0))
    levels: Floats = 10.0 * np.log10(power)
    return levels


def filter_weights(filter_hz: Floats, frequency_hz: Floats, band_db: Floats) -> Floats:
    """Return the weight of components in auditory filters; the three arguments broadcast.

    Towards higher filters the skirt widens with the level in the component's own band.
    """
    tables = ear()
    upper = sharpness(filter_hz)
    excess = band_db - tables.number("filter.level_pivot")
    lower = upper * (1.0 - tables.number("filter.level_slope") / sharpness(1000.0) * excess)
    lower = np.maximum(lower, tables.number("filter.sharpness_floor"))
    deviation = (frequency_hz - filter_hz) / filter_hz
    return rounded_exponential(deviation, np.where(deviation < 0.0, lower, upper))


def excitation(
    filters_hz: Floats, frequencies_hz: Floats, powers: Floats, band_db: ArrayLike
) -> Floats:
    """Return the excitation (linear, 1 = 0 dB) in each filter of components at the cochlea.

    Shapes: filters [k], frequencies, powers and band levels [m]; the result is [k].
    """
    levels = np.asarray(band_db, dtype=np.float64)
    weights = filter_weights(filters_hz[:, None], frequencies_hz[None, :], levels[None, :])
    pattern: Floats = (weights * powers).sum(axis=1)
    return pattern
