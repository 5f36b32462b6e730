"""Decibels and powers, nothing else."""

import math


def power(level_db: float) -> float:
    """Return the power ratio of a level in dB: 0 dB gives 1."""
    return math.pow(10.0, level_db / 10.0)


def level(power_ratio: float) -> float:
    """Return the level in dB of a power ratio; no power gives minus infinity."""
    return 10.0 * math.log10(power_ratio) if power_ratio > 0.0 else -math.inf
