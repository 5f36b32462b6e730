"""The ends of the compass against ranges read elsewhere (tables of written ranges, orchlib)."""

from itertools import pairwise

import pytest

from redstave.analysis.compass import highest, lowest, sounding_name
from redstave.analysis.strings import strings_of
from redstave.instruments import load
from redstave.instruments.tuning import tuning


@pytest.mark.parametrize(
    ("instrument", "transposition", "name"),
    [
        ("clarinet", -2, "D3"),  # written E3 on a B flat instrument
        ("clarinet", -3, "C♯3"),  # written E3 on an A instrument
        ("e-flat-clarinet", 3, "G3"),  # written E3 on an E flat instrument
        ("e-flat-clarinet", 2, "F♯3"),  # written E3 on a D instrument
        ("cor-anglais", -7, "E3"),  # written B3, a fifth lower
        ("alto-flute", -5, "G3"),  # written C4, a fourth lower
        ("piccolo", 12, "D5"),  # written D4, an octave higher
        ("bass-clarinet", -14, "B♭1"),  # written C3, a ninth lower
    ],
)
def test_lowest_key_moves_with_the_transposition(
    instrument: str, transposition: int, name: str
) -> None:
    """Written floors of transposing woodwind (orchlib, read) come out at their sounding pitch."""
    edge = lowest(load()[instrument], transposition)
    assert edge is not None
    assert sounding_name(edge.limit) == name


def test_a_concert_score_does_not_say_which_clarinet_plays() -> None:
    """At concert pitch the floor keeps its doubt."""
    edge = lowest(load()["clarinet"], 0)
    assert edge is not None
    assert edge.doubt > 0


def test_instruments_without_pitch_have_no_ends() -> None:
    """A tam-tam has neither a lowest nor a highest note."""
    assert lowest(load()["tam-tam"], 0) is None
    assert highest(load()["tam-tam"]) is None


def test_every_bowed_instrument_has_its_strings() -> None:
    """Open strings ascend in fifths or, on the bass, in fourths (common practice)."""
    book = load()
    for instrument, opened in tuning().items():
        steps = {high - low for low, high in pairwise(opened)}
        assert steps == ({5.0} if instrument == "double-bass" else {7.0})
        strings = strings_of(instrument, book)
        assert strings is not None
        assert strings.can_hold(opened)
    assert strings_of("flute", book) is None
