"""The soft levels in the data are those that the starting table and the rules for piano give."""

from itertools import pairwise

import pytest

from redstave.instruments import load
from tools.evidence.soft_levels import MARKS, REEDS, START, corrected, corrections


@pytest.mark.parametrize("name", START)
def test_the_data_hold_what_was_computed(name: str) -> None:
    """Each row of levels is the corrected one; forte and fortissimo are the starting table's."""
    assert load()[name].level.power == pytest.approx(corrected(name))
    assert corrected(name)[-2:] == pytest.approx(START[name][-2:])


def test_no_correction_is_beyond_what_was_doubtful() -> None:
    """No level at piano moves by more than its own uncertainty, 4 dB, and a rounding."""
    assert max(map(abs, corrections().values())) <= 4.25


@pytest.mark.parametrize("name", START)
def test_every_marking_is_louder_than_the_one_before(name: str) -> None:
    """Levels rise from pp to ff by 2 dB or more a marking, the reeds by 18 dB in all."""
    levels = corrected(name)
    assert len(levels) == len(MARKS)
    assert all(after - before >= 2.0 for before, after in pairwise(levels))
    if name in REEDS:
        assert levels[-1] - levels[0] >= 18.0
