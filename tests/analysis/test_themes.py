"""Themes: a fragment counts where another line plays it at another time."""

from redstave.analysis.melody import melodies
from redstave.analysis.themes import thematic
from redstave.model.line import Tone
from tests.analysis.score_by_hand import QUARTER, line, playing, tone

MOTIF = [0, 2, 4, 0, 7]


def motif(of: int, start: int, first: float, intervals: list[int] = MOTIF) -> list[Tone]:
    """Return a motif in quarters from a first pitch on."""
    return [
        tone(of, start + at, start + at + 1, first + up) for at, up in enumerate(intervals)
    ]  # fmt: skip


def themes(tones: list[Tone], lines: int = 2) -> list[list[bool]]:
    """Return for each line which of its notes are thematic."""
    played = playing([line(number) for number in range(lines)], tones)
    return [flags.tolist() for flags in thematic(melodies(played), QUARTER)]


def test_a_fragment_another_line_takes_up_on_another_degree_is_thematic() -> None:
    """Five notes imitated a fifth higher two bars later are thematic in both lines."""
    found = themes([*motif(0, 0, 60), *motif(1, 8, 67), tone(0, 20, 21, 50)])
    assert found == [[True] * 5 + [False], [True] * 5]


def test_a_doubling_is_not_a_return() -> None:
    """What two lines play at the same time is told nowhere else."""
    assert themes([*motif(0, 0, 60), *motif(1, 0, 72)]) == [[False] * 5, [False] * 5]


def test_the_same_line_alone_does_not_make_a_theme() -> None:
    """A fragment must go to another line: an accompaniment repeats itself too."""
    assert themes([*motif(0, 0, 60), *motif(0, 8, 60)], 1) == [[False] * 10]


def test_repeated_notes_tell_nothing() -> None:
    """A fragment of repeated notes is no theme, wherever it returns."""
    drum = [0, 0, 0, 0, 5]
    found = themes([*motif(0, 0, 60, drum), *motif(1, 8, 60, drum)])
    assert found == [[False] * 5, [False] * 5]


def test_another_rhythm_is_another_fragment() -> None:
    """The same pitches in other note values are not the same fragment."""
    slow = [tone(1, 8 + 2 * at, 10 + 2 * at, 60 + up) for at, up in enumerate(MOTIF)]
    assert themes([*motif(0, 0, 60), *slow]) == [[False] * 5, [False] * 5]


def test_no_notes_no_themes() -> None:
    """Lines of fewer than five notes have no fragments."""
    assert themes([tone(0, 0, 1, 60)]) == [[False], []]
