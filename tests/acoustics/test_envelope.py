"""Spectra of notes."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from redstave.acoustics.envelope import TOP_HZ, Envelope, Spectrum, harmonics, modes, noise

ENVELOPES = st.builds(
    Envelope,
    corner=st.floats(60.0, 5000.0),
    rise=st.floats(-8.0, 36.0),
    fall=st.floats(6.0, 30.0),
    even_drop=st.floats(0.0, 38.0),
)


def total_db(spectrum: Spectrum) -> float:
    """The level of all components together."""
    return float(10.0 * np.log10(np.sum(10.0 ** (spectrum.levels / 10.0))))


@given(envelope=ENVELOPES, fundamental=st.floats(27.5, 5000.0), level=st.floats(40.0, 120.0))
def test_powers_of_partials_sum_to_the_level(
    envelope: Envelope, fundamental: float, level: float
) -> None:
    """However the spectrum is shaped, the partials' powers sum to the note's power."""
    assert total_db(harmonics(fundamental, envelope, level)) == pytest.approx(level, abs=1e-9)
    assert total_db(noise(envelope, level)) == pytest.approx(level, abs=1e-9)
    bar = modes(fundamental, np.array([1.0, 2.76, 5.4]), np.array([0.0, -10.0, -20.0]), level)
    assert total_db(bar) == pytest.approx(level, abs=1e-9)


@given(fundamental=st.floats(27.5, 13_000.0))
def test_partials_reach_14_khz(fundamental: float) -> None:
    """No gap is left at the top in which anything else would stand out."""
    frequencies = harmonics(fundamental, Envelope(500.0, 0.0, 12.0), 60.0).frequencies
    assert frequencies[-1] <= TOP_HZ < frequencies[-1] + fundamental


def test_slopes_are_reached_far_from_the_corner() -> None:
    """Far below the corner the level rises by `rise` an octave, far above it falls by `fall`."""
    envelope = Envelope(1000.0, 9.0, 18.0)
    levels = envelope.level(np.array([15.625, 31.25, 1000.0, 32_000.0, 64_000.0]))
    assert levels[1] - levels[0] == pytest.approx(9.0, abs=0.01)
    assert levels[4] - levels[3] == pytest.approx(-18.0, abs=0.01)
    assert levels[2] == pytest.approx(-3.01, abs=0.01)


def test_even_partials_come_back_with_frequency() -> None:
    """Even partials lose `even_drop` at 0 Hz, half of it at 1 kHz, nothing from 2 kHz up."""
    plain = harmonics(250.0, Envelope(1000.0, 0.0, 12.0), 60.0).levels
    hollow = harmonics(250.0, Envelope(1000.0, 0.0, 12.0, even_drop=20.0), 60.0).levels
    difference = (hollow - plain) - (hollow - plain)[0]
    assert difference[[0, 1, 3, 7]] == pytest.approx([0.0, -15.0, -10.0, 0.0])
