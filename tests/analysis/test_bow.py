"""How long a bow lasts."""

import pytest

from redstave.analysis.bow import bow_seconds
from redstave.model.line import LEVEL_NUMBERS


@pytest.mark.parametrize(("level", "seconds"), [("pp", 12.0), ("mf", 3.0), ("f", 1.0), ("ff", 0.5)])
def test_seconds_of_a_bow_on_the_violin(level: str, seconds: float) -> None:
    """The four values read in the note on the length of a bow (hoffmann)."""
    assert bow_seconds(LEVEL_NUMBERS[level], "violin") == pytest.approx(seconds)


def test_larger_instruments_have_less() -> None:
    """Progressively shorter from the violin down (hoffmann)."""
    four = [bow_seconds(5.0, name) for name in ("violin", "viola", "cello", "double-bass")]
    assert four == sorted(four, reverse=True)
    assert len(set(four)) == 4


def test_louder_is_never_longer() -> None:
    """Between and beyond the levels of the table the time falls or stays."""
    seconds = [bow_seconds(level / 10, "viola") for level in range(10, 81)]
    assert seconds == sorted(seconds, reverse=True)
    assert bow_seconds(8.0, "violin") == pytest.approx(0.5)


def test_between_two_levels_in_equal_ratios() -> None:
    """Half way from mf to f a bow lasts the geometric mean of their times."""
    assert bow_seconds(5.5, "violin") == pytest.approx(3.0**0.5)
