"""Sounds that die away, against the time constants of ISO 532-3 run on a tone of 1 kHz, 70 dB."""

import math

import pytest

from redstave.acoustics.decay import (
    attack_drop_db,
    audible_time_s,
    decay_db,
    mean_decay_db,
    short_note_drop_db,
)

# T60 in s: peak short-term loudness level, and energy mean of the first 250 ms, re the steady tone.
DECAYS = {
    0.2: (-9.5, -12.4), 0.3: (-7.5, -10.6), 0.5: (-5.5, -8.4), 0.8: (-4.0, -6.4),
    1.2: (-3.1, -4.8), 2.0: (-2.1, -3.2), 4.0: (-1.3, -1.7), 8.0: (-0.7, -0.9),
}  # fmt: skip


@pytest.mark.parametrize(("t60", "drops"), DECAYS.items())
def test_decays_agree_with_the_time_varying_standard(t60: float, drops: tuple) -> None:
    """Peak short-term level within 0.4 phon, energy mean of the first 250 ms within 0.15 dB."""
    assert attack_drop_db(t60) == pytest.approx(drops[0], abs=0.4)
    assert mean_decay_db(0.0, 0.25, t60) == pytest.approx(drops[1], abs=0.15)


@pytest.mark.parametrize(
    ("ms", "drop"), [(20, -7.7), (50, -1.6), (100, -0.2), (150, 0.0), (1000, 0.0)]
)
def test_short_notes_agree_with_the_time_varying_standard(ms: int, drop: float) -> None:
    """Peak short-term level of a steady tone by its duration."""
    assert short_note_drop_db(ms / 1000.0) == pytest.approx(drop, abs=1e-9)


def test_short_notes_grow_with_their_length() -> None:
    """A longer note is never softer, down to the shortest."""
    drops = [short_note_drop_db(0.005 * k) for k in range(41)]
    assert drops == sorted(drops)


def test_mean_over_a_moment_is_the_level_then() -> None:
    """The energy mean over a very short span is the level at that time."""
    assert mean_decay_db(0.7, 1e-6, 2.0) == pytest.approx(decay_db(0.7, 2.0), abs=1e-3)


def test_audible_time_ends_at_the_threshold() -> None:
    """When the audible time is over, the note has lost exactly its margin; none is never heard."""
    lasts = audible_time_s(12.0, 2.0)
    assert lasts == pytest.approx(0.4)
    assert decay_db(lasts, 2.0) == pytest.approx(-12.0)
    assert audible_time_s(-math.inf, 2.0) == 0.0
