"""Harmonics of bowed strings, against the encyclopaedia's table (harmtab) and its test values."""

import pytest

from redstave.analysis.harmonics import (
    Fault,
    Means,
    artificial_fault,
    can_sound,
    circle_fault,
    means_of,
    touched_fault,
)
from redstave.base.citation import midi_of
from redstave.instruments import load
from redstave.players.harmonics import partial_above

OCTAVE, FIFTH, MAJOR_THIRD = 12.0, 7.0, 4.0

# Touch above the open string, what sounds above it (harmtab, read; reference notes, section 2.7).
TABLE = [
    (12.0, OCTAVE),
    (7.0, OCTAVE + FIFTH),
    (5.0, 2 * OCTAVE),
    (4.0, 2 * OCTAVE + MAJOR_THIRD),
    (9.0, 2 * OCTAVE + MAJOR_THIRD),
    (3.0, 2 * OCTAVE + FIFTH),
]


def means(instrument: str) -> Means:
    """Return the means of an instrument."""
    found = means_of(instrument, load())
    assert found is not None
    return found


def midi(name: str) -> float:
    """Return a pitch by name."""
    return float(midi_of(name))


@pytest.mark.parametrize(("touch", "sounds"), TABLE)
def test_table_of_touches(touch: float, sounds: float) -> None:
    """Each row of the table comes from the nodes of a string, within a sixth of a semitone."""
    raised = partial_above(touch)
    assert raised == pytest.approx(sounds, abs=1 / 6)


def test_fifth_partial_is_flat() -> None:
    """Fourteen cents below the tempered third (harmtab)."""
    raised = partial_above(4.0)
    assert raised is not None
    assert 100 * (raised - 28.0) == pytest.approx(-14, abs=0.5)


@pytest.mark.parametrize(
    ("string", "touch", "sounds"),
    [("G3", "D4", "D5"), ("G3", "C4", "G5"), ("G3", "B3", "B5"), ("D4", "G4", "D6")],
)
def test_values_on_violin_strings(string: str, touch: str, sounds: str) -> None:
    """The four test values of the reference notes, section 2.7, computed there by hand."""
    raised = partial_above(midi(touch) - midi(string))
    assert raised is not None
    assert round(midi(string) + raised) == midi(sounds)
    assert touched_fault(midi(touch), means("violin")) is None
    assert can_sound(midi(sounds), means("violin"))


def test_an_artificial_harmonic_by_a_fourth_sounds_two_octaves_higher() -> None:
    """The printed result must say so (hansen)."""
    violin = means("violin")
    assert artificial_fault(midi("B4"), midi("E5"), [midi("B6")], violin) is None
    assert artificial_fault(midi("B4"), midi("E5"), [midi("E6")], violin) is Fault.OTHER_PITCH


@pytest.mark.parametrize(
    ("instrument", "base", "touch", "fault"),
    [
        ("violin", "Bb3", "Eb4", None),
        ("viola", "Db3", "Gb3", None),
        ("cello", "E2", "A2", Fault.BEYOND_HAND),
        ("cello", "A2", "D3", None),
        ("double-bass", "F1", "Bb1", Fault.BEYOND_HAND),
    ],
)
def test_fourths_lie_in_small_hands_on_small_instruments(
    instrument: str, base: str, touch: str, fault: Fault | None
) -> None:
    """Violin and viola from first position, cello from about the fourth, no bass (from memory)."""
    assert artificial_fault(midi(base), midi(touch), [], means(instrument)) is fault


def test_where_no_partial_has_a_node() -> None:
    """A semitone and a major seventh above the string nothing speaks; a tritone hardly."""
    violin = means("violin")
    assert artificial_fault(midi("A4"), midi("Bb4"), [], violin) is Fault.NO_NODE
    assert artificial_fault(midi("A4"), midi("G#5"), [], violin) is Fault.NO_NODE
    assert artificial_fault(midi("Bb4"), midi("E5"), [], violin) is Fault.UNUSUAL


def test_high_partials_are_for_long_strings() -> None:
    """Unusual except on basses (harmtab)."""
    seventh = midi("A1") + 10.0
    assert touched_fault(seventh, means("double-bass")) is None
    assert touched_fault(midi("G3") + 2.0, means("violin")) is Fault.UNUSUAL


def test_a_circle_is_the_note_that_sounds() -> None:
    """A partial or an artificial harmonic; below them it is a touch, or nothing."""
    violin = means("violin")
    assert circle_fault(midi("D5"), violin) is None
    assert circle_fault(midi("C#7"), violin) is None
    assert circle_fault(midi("C4"), violin) is Fault.TOUCH_OR_SOUND
    assert circle_fault(midi("G#3"), violin) is Fault.NO_NODE
    assert circle_fault(midi("E5"), violin) is None  # the open string


def test_other_instruments_have_no_such_harmonics() -> None:
    """Only bowed strings are judged."""
    assert means_of("harp", load()) is None
