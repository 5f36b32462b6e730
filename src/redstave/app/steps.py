"""The steps of a long piece of work, told to whoever waits."""

from collections.abc import Callable

from redstave.analysis import Analysis

Tell = Callable[[str], None]


def quiet(_: str) -> None:
    """Tell nobody."""


def prepare(analysis: Analysis, tell: Tell = quiet, hearing: bool = True) -> Analysis:
    """Compute what nearly everything rests on, naming each step as it begins.

    What an Analysis is asked for is computed then anyway; here it is asked in an order that can be
    told. Without `hearing` only who plays what is worked out.
    """
    tell("players")
    _ = analysis.playing
    if hearing:
        tell("hearing")
        _ = analysis.hearing
    return analysis
