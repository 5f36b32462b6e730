"""Slices: no tone starts or ends inside one, none crosses a barline, no time is lost."""

from dataclasses import replace

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from redstave.analysis.slices import cut
from redstave.model.line import TempoMap, TempoPoint, Tone
from tests.analysis.score_by_hand import line, playing, score, tone

tones = st.builds(
    lambda of, start, length, midi: tone(of, start, start + length, float(midi)),
    st.integers(0, 3),
    st.integers(0, 24),
    st.integers(1, 12),
    st.integers(40, 90),
)


@given(st.lists(tones, min_size=1, max_size=20))
def test_no_tone_starts_or_ends_inside_a_slice(notes: list[Tone]) -> None:
    """Every tone covers each of its slices whole, and all its time lies in its slices."""
    played = playing([line(number) for number in range(4)], notes)
    slices = cut(score(10), played)
    assert (np.diff(slices.row_slice) >= 0).all()
    covered = np.zeros(len(played.tones))
    for at, row_tone in zip(slices.row_slice, slices.row_tone, strict=True):
        one = played.tones[row_tone]
        assert one.start <= slices.start[at] < slices.stop[at] <= one.stop
        covered[row_tone] += slices.stop[at] - slices.start[at]
    assert covered.tolist() == [one.stop - one.start for one in played.tones]


def test_a_slice_ends_at_the_barline() -> None:
    """A tone held over a barline is cut there, so that each slice belongs to one bar."""
    slices = cut(score(2), playing([line(0)], [tone(0, 0, 8, 60)]))
    assert slices.bar.tolist() == [0, 1]
    assert slices.seconds.tolist() == [4.0, 4.0]


def test_silence_has_no_slices() -> None:
    """A score without tones has no slices and no rows."""
    slices = cut(score(2), playing([line(0)], []))
    assert slices.start.size == slices.row_tone.size == 0


def test_nothing_sounds_in_a_caesura() -> None:
    """A slice that ends at a silence ends before it, the next begins after it."""
    notes = [tone(0, 0, 4, 60.0), tone(0, 4, 8, 60.0)]
    played = playing([line(0)], notes)
    points = (TempoPoint(0, 0.0, 60.0, 60.0), TempoPoint(16, 7.0, 60.0, 60.0, pause=3.0))
    paused = replace(played, tempo=TempoMap(4, points, False))
    slices = cut(score(2), paused)
    assert slices.start_s.tolist() == [0.0, 7.0]
    assert slices.stop_s.tolist() == [4.0, 11.0]
