"""Figures: patterns, repeated notes and tremolo; a scale and a tune are none."""

import pytest

from redstave.analysis.figures import figured
from redstave.analysis.melody import melodies
from tests.analysis.score_by_hand import line, playing, tone


def flags(pitches: list[int], technique: str = "") -> list[bool]:
    """Return which notes of a run of equal notes, two to the quarter, belong to a figure."""
    tones = [
        tone(0, at, at + 1, pitch)._replace(technique=technique) for at, pitch in enumerate(pitches)
    ]
    played = playing([line(0)], tones)
    return figured(melodies(played)[0], played.tones, 2 * 4).tolist()


@pytest.mark.parametrize(
    "pattern",
    [[60, 67, 64, 67], [60, 64, 67, 64], [60, 72], [60, 60, 60, 60]],
    ids=["broken chord", "up and down", "broken octave", "repeated note"],
)
def test_a_pattern_played_four_times_is_a_figure(pattern: list[int]) -> None:
    """Each pattern four times running is a figure from its first note on."""
    found = flags(pattern * 4)
    assert all(found[1:])


def test_a_pattern_may_follow_the_harmony() -> None:
    """The intervals may change with the harmony, as long as rise, fall and rhythm return."""
    found = flags([60, 67, 64, 67, 60, 69, 65, 69, 59, 67, 62, 67, 60, 67, 64, 67, 60, 67, 64, 67])
    assert all(found[1:])


def test_a_scale_is_no_figure() -> None:
    """Sixteen notes upwards are no figure: nothing turns and returns."""
    assert not any(flags(list(range(60, 76))))


def test_a_tune_is_no_figure() -> None:
    """A line that never does the same twice is none."""
    assert not any(flags([60, 62, 64, 60, 65, 64, 67, 69, 71, 72, 67, 64, 65, 62, 59, 60]))


def test_tremolo_is_a_figure() -> None:
    """Whatever is played tremolo fills, even without a pattern."""
    assert all(flags([60, 64, 62, 67], "tremolo"))


def test_slow_repetitions_are_no_figure() -> None:
    """Repeated notes of a quarter are chords or a pedal."""
    played = playing([line(0)], [tone(0, at, at + 1, 60) for at in range(8)])
    assert not figured(melodies(played)[0], played.tones, 4).any()
