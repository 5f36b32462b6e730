"""Where the pianist has the pedal, and where nobody in the orchestra holds what it held."""

import pytest

from redstave.original.pedal import pedalled, unheld
from redstave.reading import read_bytes
from tests.original.pieces import CELLO, HEAD, VIOLA, VIOLIN, beside, part, piano

PEDAL = '_"con Ped." '


@pytest.mark.parametrize(
    ("words", "bars"),
    [
        ('_"Ped." C3/1 | C3 | C3', {0, 1, 2}),
        ('C3/1 | _"con pedale" C3 | _"senza Ped." C3', {1}),
        ('_"speed!" C3/1 | C3 | C3', set()),
    ],
)
def test_words_ask_for_the_pedal_and_take_it_back(words: str, bars: set[int]) -> None:
    """Italian words and the usual abbreviation count, with or without "senza"."""
    score = read_bytes(f"{HEAD}part Piano\nmf {words} |\n".encode(), "piano.tiny")
    assert pedalled(score) == bars


@pytest.mark.parametrize(
    ("holding", "runs"),
    [
        ("", ((0, 7),)),
        (VIOLA, ()),
        (part("Harp", ("G3/4 r/2.",) * 8), ()),
        (part("Viola | clef=alto", ('"pizz." E4/1', *("E4/1",) * 7)), ((0, 7),)),
    ],
)
def test_the_harmony_is_held_by_bows_breath_or_ringing_strings(
    holding: str, runs: tuple[tuple[int, int], ...]
) -> None:
    """Held violas or a harp do what the pedal does; the figure alone and plucked notes do not."""
    assert unheld(beside(VIOLIN + holding + CELLO, piano(words=PEDAL))) == runs


def test_without_pedal_nothing_is_missed() -> None:
    """Where the piano piece asks for no pedal, nobody has to hold anything."""
    assert unheld(beside(VIOLIN + CELLO, piano())) == ()
