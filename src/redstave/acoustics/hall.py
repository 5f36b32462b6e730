"""What a hall adds: Barron's revised theory (Barron and Lee 1988).

The strength G is the level at a seat over the level of the same source at 10 m in a free field, so
that the sound pressure level is L = Lw - 31 dB + G for a sound power level Lw in dB re 1 pW.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

FREE_FIELD_10_M_DB = 31.0  # 10 lg(4 pi 10^2), rounded as in the source


class Strength(NamedTuple):
    """Sound energies at a seat over the free-field energy at 10 m; arrays over frequency."""

    direct: Floats
    early: Floats  # reflections up to 80 ms
    late: Floats

    @property
    def gain_db(self) -> Floats:
        """The strength G in dB of all three together."""
        return 10.0 * np.log10(self.direct + self.early + self.late)


def strength(
    distance_m: float,
    volume_m3: float,
    reverberation_s: ArrayLike,
    front_gain_db: ArrayLike = 0.0,
) -> Strength:
    """Return direct, early and late energy at a distance from the source.

    `reverberation_s` and `front_gain_db` may be arrays over frequency; the gain acts on the direct
    sound only, since the reflected sound is fed by the whole radiated power.
    """
    decay_s = np.asarray(reverberation_s, dtype=np.float64)
    direct = 100.0 / distance_m**2 * 10.0 ** (np.asarray(front_gain_db, dtype=np.float64) / 10.0)
    reflected = 31200.0 * decay_s / volume_m3 * np.exp(-0.04 * distance_m / decay_s)
    late_share = np.exp(-1.11 / decay_s)
    return Strength(direct, reflected * (1.0 - late_share), reflected * late_share)


def hall_gain_db(distance_m: float, volume_m3: float, reverberation_s: float) -> float:
    """Return the strength G in dB, so that L = Lw - 31 + G, for an omnidirectional source."""
    return float(strength(distance_m, volume_m3, reverberation_s).gain_db)
