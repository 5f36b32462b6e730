"""Strands: lines that share three notes running are one; a chance meeting is not."""

from collections import Counter

import numpy as np

from redstave.analysis.slices import cut
from redstave.analysis.strands import doubled_tones, hands, strand_of_rows
from redstave.model.line import Tone
from tests.analysis.score_by_hand import line, playing, score, tone

TUNE = [72.0, 74.0, 76.0, 77.0]


def strands(tones: list[Tone], lines: int) -> list[int]:
    """Return the strand of each row of a score of two bars."""
    played = playing([line(number) for number in range(lines)], tones)
    return strand_of_rows(
        cut(score(2), played), doubled_tones(played.tones), hands(played.tones, played.lines)
    ).tolist()


def test_octave_doubling_is_one_strand() -> None:
    """Two lines an octave apart in the same rhythm are one strand in every slice."""
    tones = [tone(0, at, at + 1, midi) for at, midi in enumerate(TUNE)]
    tones += [tone(1, at, at + 1, midi - 12) for at, midi in enumerate(TUNE)]
    assert strands(tones, 2) == [0, 0, 1, 1, 2, 2, 3, 3]


def test_a_chance_meeting_is_not_a_doubling() -> None:
    """Two lines that meet on two notes only stay two strands."""
    other = [72.0, 74.0, 60.0, 62.0]
    tones = [tone(0, at, at + 1, midi) for at, midi in enumerate(TUNE)]
    tones += [tone(1, at, at + 1, midi) for at, midi in enumerate(other)]
    assert len(set(strands(tones, 2))) == 8


def test_a_figure_that_touches_the_tune_is_not_its_doubling() -> None:
    """A busier line that strikes each note of a tune on its way stays a strand of its own."""
    tones = [tone(0, 2 * at, 2 * at + 2, midi) for at, midi in enumerate(TUNE)]
    tones += [tone(1, 2 * at, 2 * at + 1, midi) for at, midi in enumerate(TUNE)]
    tones += [tone(1, 2 * at + 1, 2 * at + 2, midi - 3) for at, midi in enumerate(TUNE)]
    assert len(set(strands(tones, 2))) == 16


def test_order_of_lines_changes_nothing() -> None:
    """Numbering the lines the other way round gives the same grouping."""
    tones = [tone(0, at, at + 1, midi) for at, midi in enumerate(TUNE)]
    tones += [tone(1, at, at + 1, midi - 12) for at, midi in enumerate(TUNE)]
    tones += [tone(2, 0, 4, 55)]
    turned = [one._replace(line=2 - one.line) for one in tones]
    sizes = [sorted(Counter(strands(order, 3)).values()) for order in (tones, turned)]
    assert sizes[0] == sizes[1] == [1, 1, 1, 1, 2, 2, 2, 2]


def test_one_player_is_one_strand_and_two_winds_are_two() -> None:
    """A harp's chord is heard as one; two oboes a third apart on one stave are two."""
    chord = [tone(0, 0, 4, 60), tone(0, 0, 4, 64)]
    played = playing([line(0, "harp", "harp")], chord)
    slices = cut(score(1), played)
    for family, count in (("harp", 1), ("strings", 1), ("woodwind", 2)):
        by = hands(played.tones, [line(0, "any", family)])
        assert len(set(strand_of_rows(slices, np.empty((0, 2), np.int64), by).tolist())) == count
