"""Where the tune of the piano piece comes again."""

from redstave.original.returns import Melody, repeated

A: Melody = ((0, 60), (4, 64))
B: Melody = ((0, 67), (8, 65))
C: Melody = ((0, 64), (2, 62), (4, 60))
D: Melody = ((0, 55), (4, 59))
X: Melody = ((0, 72), (12, 71))


def raised(melody: Melody, by: int) -> Melody:
    """Return the same tune in another key."""
    return tuple((offset, pitch + by) for offset, pitch in melody)


def test_a_stretch_that_comes_again_is_found_once() -> None:
    """Four bars that return after two others are one return, at their first bar."""
    assert list(repeated((A, B, C, D, X, X, A, B, C, D))) == [(0, 6)]


def test_a_stretch_returns_in_another_key() -> None:
    """Transposed by a fourth it is the same; with one bar in yet another key it is not."""
    theme = (A, B, C, D)
    there = tuple(raised(bar, 5) for bar in theme)
    assert list(repeated((*theme, X, *there))) == [(0, 5)]
    assert list(repeated((*theme, X, *there[:3], raised(D, 7)))) == []


def test_three_bars_are_a_motif_and_one_bar_over_and_over_is_no_theme() -> None:
    """Too short a stretch, and a pattern of one bar, are no returns."""
    assert list(repeated((A, B, C, X, D, A, B, C, B))) == []
    assert list(repeated((A,) * 12)) == []
