"""Barron's revised theory."""

import numpy as np
import pytest

from redstave.acoustics import hall_gain_db
from redstave.acoustics.hall import strength

DISTANCES = (10, 15, 20, 25, 30, 40)
# Strength G in dB by hall (volume, reverberation), worked out beforehand from the formula.
TABLE = {
    (10000, 1.5): (6.6, 5.5, 4.8, 4.1, 3.5, 2.2),
    (15000, 2.0): (6.4, 5.5, 4.8, 4.3, 3.8, 2.9),
    (18750, 1.9): (5.5, 4.4, 3.7, 3.1, 2.5, 1.5),
    (21000, 1.95): (5.3, 4.1, 3.4, 2.8, 2.2, 1.3),
    (25000, 2.1): (5.0, 3.8, 3.1, 2.5, 2.0, 1.1),
}


@pytest.mark.parametrize(("size", "gains"), TABLE.items())
def test_strength_agrees_with_the_table(size: tuple[float, float], gains: tuple) -> None:
    """G at six distances in five halls to 0.1 dB."""
    found = [hall_gain_db(distance, *size) for distance in DISTANCES]
    assert found == pytest.approx(gains, abs=0.1)


def test_ten_metres_in_the_open_are_the_reference() -> None:
    """Direct sound alone at 10 m has G = 0, and loses 6 dB a doubling of distance."""
    assert strength(10.0, 1e12, 1.0).gain_db == pytest.approx(0.0, abs=1e-3)
    doubled = 10.0 * np.log10(strength(20.0, 1e4, 1.0).direct / strength(10.0, 1e4, 1.0).direct)
    assert doubled == pytest.approx(-6.02, abs=0.01)


def test_reflections_split_at_80_ms() -> None:
    """Early and late add up to the reflected energy, 31200 T/V exp(-0.04 r/T)."""
    heard = strength(20.0, 18750.0, 1.9)
    reflected = 31200.0 * 1.9 / 18750.0 * np.exp(-0.04 * 20.0 / 1.9)
    assert heard.early + heard.late == pytest.approx(reflected)
    assert heard.late / reflected == pytest.approx(np.exp(-1.11 / 1.9))


def test_turning_a_source_changes_the_direct_sound_only() -> None:
    """A front gain leaves early and late reflections as they are."""
    away, towards = strength(15.0, 18750.0, 1.9, -9.0), strength(15.0, 18750.0, 1.9, 9.0)
    assert towards.direct / away.direct == pytest.approx(10.0**1.8)
    assert (towards.early, towards.late) == (away.early, away.late)
