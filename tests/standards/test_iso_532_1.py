"""Total loudness against ISO 532-1 as computed by the independent library mosqito."""

import itertools

import pytest

from redstave.acoustics import loudness
from tools.evidence.iso_532_1 import CHORDS, zwicker


@pytest.fixture(scope="module")
def pairs() -> list[tuple[float, float]]:
    """Loudness of each chord by ISO 532-2 here and by ISO 532-1 there, in sone."""
    return [(loudness(*chord.spectrum()), zwicker(chord.spectrum())) for chord in CHORDS]


def test_chords_come_in_the_same_order(pairs: list[tuple[float, float]]) -> None:
    """Of two chords that differ by more than 10 % here, the louder one is louder there."""
    clear = [(a, b) for a, b in itertools.permutations(pairs, 2) if a[0] > 1.1 * b[0]]
    assert len(clear) > 20
    assert all(louder[1] > softer[1] for louder, softer in clear)


def test_chords_differ_by_the_known_spread(pairs: list[tuple[float, float]]) -> None:
    """ISO 532-2 gives 1.0 to 1.5 times the sones of ISO 532-1 for broad spectra."""
    ratios = [here / there for here, there in pairs]
    assert 1.0 < min(ratios) < max(ratios) < 1.5
