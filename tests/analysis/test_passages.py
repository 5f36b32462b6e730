"""Passages: a rest longer than the gap parts two; lines never run into each other."""

import numpy as np

from redstave.analysis.passages import by_strand, passages
from tests.analysis.score_by_hand import QUARTER, tone
from tests.analysis.test_hearing_laws import heard


def test_a_long_rest_parts_two_passages() -> None:
    """Notes with a quarter rest between them are one passage, with four quarters two."""
    hearing = heard([tone(0, 0, 2, 60), tone(0, 3, 4, 60), tone(0, 8, 9, 60), tone(1, 0, 9, 72)])
    chosen = hearing.line == 0
    found = list(passages(hearing, chosen, 2 * QUARTER, QUARTER))
    assert [(one.start, one.stop, one.quarters) for one in found] == [(0, 16, 3.0), (32, 36, 1.0)]


def test_a_later_line_does_not_inherit_the_end_of_an_earlier_one() -> None:
    """The passages of the second line are parted by its own rests."""
    tones = [tone(0, 0, 20, 60), tone(1, 0, 1, 72), tone(1, 16, 17, 72)]
    hearing = heard(tones)
    found = [one for one in passages(hearing, hearing.line >= 0, QUARTER, QUARTER) if one.line == 1]
    assert [(one.start, one.stop) for one in found] == [(0, 4), (64, 68)]


def test_nothing_chosen_gives_no_passage() -> None:
    """No rows chosen, no passages."""
    hearing = heard([tone(0, 0, 2, 60)])
    assert not list(passages(hearing, np.zeros(hearing.line.size, np.bool_), 1, QUARTER))


def test_doubling_lines_are_told_as_one() -> None:
    """Two lines in octaves give two passages and one group."""
    tune = [60.0, 62.0, 64.0, 65.0]
    tones = [tone(0, at, at + 1, midi) for at, midi in enumerate(tune)]
    tones += [tone(1, at, at + 1, midi + 12) for at, midi in enumerate(tune)]
    hearing = heard([*tones, tone(2, 0, 4, 50)])
    found = list(passages(hearing, hearing.line < 2, 0, QUARTER))
    assert [len(group) for group in by_strand(hearing, found)] == [2]
