"""From the sound field to the cochlea: ISO 532-2, clause 7.2 and Table 1."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from redstave.acoustics.tables import ear

Floats = NDArray[np.float64]

LOWEST_HZ = 20.0
HIGHEST_HZ = 16_000.0
FIELDS = ("free", "diffuse", "eardrum")


def ear_gain_db(frequency_hz: ArrayLike, field: str) -> Floats:
    """Return the gain in dB from the field to the cochlea, linear in dB over linear frequency.

    `field` is "free", "diffuse", or "eardrum" (no outer ear). ValueError for any other word.
    """
    if field not in FIELDS:
        raise ValueError(f"field must be one of {', '.join(FIELDS)}, not {field!r}")
    tables = ear()
    places = tables.table("transfer.frequency")
    gain = tables.table("transfer.middle")
    if field != "eardrum":
        gain = gain + tables.table(f"transfer.{field}")
    return np.interp(np.asarray(frequency_hz, dtype=np.float64), places, gain)


def cochlear_powers(
    frequency_hz: ArrayLike, level_db: ArrayLike, field: str
) -> tuple[Floats, Floats]:
    """Return frequencies in Hz and powers at the cochlea (1 = 0 dB) of the audible components.

    Components below 20 Hz or above 16 kHz are left out, and so are those without power.
    """
    frequencies = np.atleast_1d(np.asarray(frequency_hz, dtype=np.float64))
    levels = np.atleast_1d(np.asarray(level_db, dtype=np.float64))
    kept = audible(frequencies) & np.isfinite(levels)
    return frequencies[kept], power_at_cochlea(frequencies[kept], levels[kept], field)


def audible(frequency_hz: Floats) -> NDArray[np.bool_]:
    """Tell which frequencies the ear's tables reach: 20 Hz to 16 kHz."""
    return (frequency_hz >= LOWEST_HZ) & (frequency_hz <= HIGHEST_HZ)


def power_at_cochlea(frequency_hz: Floats, level_db: Floats, field: str) -> Floats:
    """Return the power of each component at the cochlea (1 = 0 dB)."""
    found: Floats = 10.0 ** ((level_db + ear_gain_db(frequency_hz, field)) / 10.0)
    return found
