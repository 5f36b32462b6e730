"""Sounds that die away, and notes too short to reach their full loudness. Levels in dB.

The instrument data give plucked and struck notes as the energy mean of their first tenth of a
second; `dying_db` leads from there to what is heard at the attack and later.
"""

import math

import numpy as np
from numpy.typing import NDArray

from redstave.acoustics.tables import ear

Floats = NDArray[np.float64]

ATTACK_SPAN_S = 0.1


def attack_drop_db(t60_s: float) -> float:
    """Return how far a decaying note's loudest moment stays below a steady tone of its peak level.

    Peak short-term loudness level of ISO 532-3 for an exponential decay, in phon (at most 0).
    """
    tables = ear()
    slower = math.pow(t60_s, tables.number("time.decay_exponent"))
    return tables.number("time.decay_scale") * slower


def dying_db(elapsed_s: float, t60_s: float) -> float:
    """Return the level heard a time after the attack, re the energy mean of the first 0.1 s.

    The attack counts with its loudest moment; from there on the level falls by 60 dB in T60.
    """
    peak = -mean_decay_db(0.0, ATTACK_SPAN_S, t60_s)
    return peak + min(attack_drop_db(t60_s), decay_db(elapsed_s, t60_s))


def dying_levels_db(elapsed_s: Floats, t60_s: Floats) -> Floats:
    """Return `dying_db` for many notes at once; the decay times may repeat."""
    times, number = np.unique(t60_s, return_inverse=True)
    peak = np.array([-mean_decay_db(0.0, ATTACK_SPAN_S, time) for time in times.tolist()])
    drop = np.array([attack_drop_db(time) for time in times.tolist()])
    found: Floats = peak[number] + np.minimum(drop[number], -60.0 * elapsed_s / t60_s)
    return found


def short_note_drop_db(duration_s: float) -> float:
    """Return how far a steady tone of the given duration stays below its full loudness, in phon."""
    tables = ear()
    milliseconds = max(1000.0 * duration_s, tables.table("time.duration")[0])
    return float(
        np.interp(
            math.log(milliseconds),
            np.log(tables.table("time.duration")),
            tables.table("time.short_note"),
        )
    )


def decay_db(elapsed_s: float, t60_s: float) -> float:
    """Return the level in dB (at most 0) a time after the attack, for a 60-dB decay time."""
    return -60.0 * elapsed_s / t60_s


def mean_decay_db(elapsed_s: float, duration_s: float, t60_s: float) -> float:
    """Return the energy-mean level in dB over a span that begins `elapsed_s` after the attack."""
    rate = 6.0 * math.log(10.0) * duration_s / t60_s
    return decay_db(elapsed_s, t60_s) + 10.0 * math.log10(-math.expm1(-rate) / rate)


def audible_time_s(margin_at_attack_db: float, t60_s: float) -> float:
    """Return how long a decaying note stays above a steady masked threshold."""
    return max(0.0, t60_s * margin_at_attack_db / 60.0)
