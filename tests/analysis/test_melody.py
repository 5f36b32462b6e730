"""Melodies: the highest notes of a line, and what holds around a moment."""

import numpy as np

from redstave.analysis.melody import averaged, begins_after_rest, counted, melodies
from tests.analysis.score_by_hand import QUARTER, line, playing, tone


def test_a_line_of_chords_is_followed_by_its_top_notes() -> None:
    """Of each chord the highest note counts; the order of the tones does not matter."""
    tones = [tone(0, 0, 1, 60), tone(0, 0, 1, 67), tone(0, 1, 2, 65), tone(0, 1, 2, 62)]
    (one,) = melodies(playing([line(0)], tones))
    assert one.midi.tolist() == [67.0, 65.0]
    assert one.step.tolist() == [0.0, -2.0]
    assert one.duration.tolist() == [QUARTER, QUARTER]


def test_a_silent_line_and_one_without_pitch_are_empty() -> None:
    """A line keeps its place among the melodies even when it has no notes."""
    drum = tone(1, 0, 1, 60)._replace(unpitched=True)
    found = melodies(playing([line(0), line(1)], [drum]))
    assert [one.start.size for one in found] == [0, 0]


def test_what_starts_within_reach_is_counted_and_averaged() -> None:
    """Notes at 0, 1, 2 … quarters: two lie within one quarter of 0.5, with their mean."""
    (one,) = melodies(playing([line(0)], [tone(0, at, at + 1, 60 + at) for at in range(8)]))
    moment = np.array([0.5 * QUARTER, 30.0 * QUARTER])
    assert counted(one, np.ones(8), moment, QUARTER).tolist() == [2.0, 0.0]
    assert averaged(one, one.midi, moment, QUARTER).tolist() == [60.5, 0.0]


def test_entries_after_a_rest_are_told_from_going_on() -> None:
    """The first note enters, the next goes on, the one after a rest enters again."""
    tones = [tone(0, 0, 1, 60), tone(0, 1, 2, 62), tone(0, 4, 5, 64)]
    (one,) = melodies(playing([line(0)], tones))
    assert begins_after_rest(one, QUARTER).tolist() == [True, False, True]
