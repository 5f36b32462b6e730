"""Modes in force."""

from redstave.analysis.modes import Mode, bow_of, modes, mute_of
from redstave.model.line import TechniquePoint

POINTS = (
    TechniquePoint(0),
    TechniquePoint(10, bow="pizz"),
    TechniquePoint(20, bow="pizz", mute=True),
    TechniquePoint(30, mute=True),
)


def test_a_mode_lasts_over_words_about_something_else() -> None:
    """The mute does not end the pizzicato."""
    assert list(modes(POINTS, bow_of, 100)) == [Mode("pizz", 10, 30, True)]


def test_what_no_word_ends_lasts_to_the_end() -> None:
    """The mute is never taken off."""
    assert list(modes(POINTS, mute_of, 100)) == [Mode("mute", 20, 100, False)]
