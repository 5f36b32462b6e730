"""Fingers on strings: the table of distances, the limits of hands, and Forsyth's verdicts."""

from itertools import pairwise, product

import pytest

from redstave.analysis.fingers import (
    Grip,
    Hand,
    easiest_grip,
    hand_of,
    pair_mm,
    place_mm,
    travel_mm,
)
from redstave.analysis.strings import Strings, strings_of
from redstave.base.citation import midi_of
from redstave.instruments import load

# Distances in millimetres between two fingers so many semitones above the open string, for strings
# of 328, 375, 692 and 1060 mm. Computed by hand for the reference notes on the trade (section 2.3).
DISTANCES = {
    (1, 3): (34, 39, 71, 109),
    (2, 5): (46, 53, 98, 150),
    (2, 6): (60, 69, 127, 195),
    (2, 7): (73, 84, 155, 237),
    (1, 6): (78, 89, 164, 251),
    (1, 9): (115, 131, 242, None),
    (1, 10): (126, 143, 265, None),
    (5, 13): (91, 104, 192, None),
    (5, 14): (100, 114, 210, None),
    (7, 12): (55, 63, 116, 177),
}
INSTRUMENTS = ("violin", "viola", "cello", "double-bass")
VIOLIN = [midi_of(name) for name in ("G3", "D4", "A4", "E5")]
FIRST_POSITIONS = range(1, 8)


def held(instrument: str) -> tuple[Hand, Strings]:
    """Return hand and strings of an instrument."""
    hand, strings = hand_of(instrument), strings_of(instrument, load())
    assert hand is not None
    assert strings is not None
    return hand, strings


def spread(instrument: str, *names: str) -> float:
    """Return the least span in millimetres of a chord given by names."""
    hand, strings = held(instrument)
    grip = easiest_grip(tuple(float(midi_of(name)) for name in names), strings, hand)
    assert grip is not None
    return grip.spread


@pytest.mark.parametrize(("fingers", "distances"), DISTANCES.items())
def test_distances_between_fingers(
    fingers: tuple[int, int], distances: tuple[int | None, ...]
) -> None:
    """The table of distances comes out on all four instruments (string lengths from memory)."""
    low, high = fingers
    for instrument, expected in zip(INSTRUMENTS, distances, strict=True):
        length = held(instrument)[0].length
        if expected is not None:
            assert round(place_mm(length, high) - place_mm(length, low)) == expected


def test_every_stop_with_an_open_string_is_easy() -> None:
    """Forsyth 1914, p. 316: one open string with any reachable note on the next one."""
    hand, strings = held("violin")
    for (below, above), semitone in product(pairwise(VIOLIN), range(1, 17)):
        for chord in ((below, above + semitone), (above, below + semitone)):
            grip = easiest_grip(tuple(sorted(map(float, chord))), strings, hand)
            assert grip is not None
            assert grip.spread == 0.0


@pytest.mark.parametrize("interval", [3, 4, 8, 9], ids=["m3", "M3", "m6", "M6"])
def test_stopped_thirds_and_sixths_are_quite_easy(interval: int) -> None:
    """Forsyth 1914, pp. 316-317: stopped minor and major thirds and sixths lie in the hand."""
    assert max(_stopped(interval)) <= held("violin")[0].comfortable


@pytest.mark.parametrize("interval", [5, 6], ids=["P4", "A4"])
def test_stopped_fourths_are_practicable(interval: int) -> None:
    """Forsyth 1914, p. 317: perfect and augmented fourths can be done."""
    assert max(_stopped(interval)) <= held("violin")[0].stretched


def _stopped(interval: int) -> list[float]:
    """Return the spans of an interval fully stopped in the first positions of a violin."""
    hand, strings = held("violin")
    found = []
    for below, above, low in (
        (below, above, below + finger)
        for below, above in pairwise(VIOLIN)
        for finger in FIRST_POSITIONS
        if below + finger + interval > above
    ):
        grip = easiest_grip((float(low), float(low + interval)), strings, hand)
        assert grip is not None
        if min(grip.heights) > 0 and max(low - below, low + interval - above) <= max(
            FIRST_POSITIONS
        ):
            found.append(grip.spread)
    assert found
    return found


def test_an_octave_in_first_position_is_for_violinists() -> None:
    """Practicable on the violin, beyond a cellist's hand without the thumb (common practice)."""
    assert spread("violin", "G3", "G4") == spread("cello", "C2", "C3") == 0.0  # open strings
    assert spread("violin", "Bb3", "Bb4") <= held("violin")[0].comfortable
    assert spread("cello", "Eb2", "Eb3") > held("cello")[0].stretched


def test_tenths_lie_better_higher_up() -> None:
    """Beyond the hand in first position, stretched from the third on (common practice)."""
    hand = held("violin")[0]
    assert spread("violin", "Bb3", "D5") > hand.stretched
    assert hand.comfortable < spread("violin", "C4", "Eb5") <= hand.stretched


def test_the_thumb_gives_the_cello_its_tenths() -> None:
    """From about the seventh semitone on the thumb adds a major third (common practice)."""
    hand, strings = held("cello")
    tenth = (float(midi_of("C4")), float(midi_of("E5")))
    without = easiest_grip(tenth, strings, hand._replace(thumb_from=99.0))
    assert without is not None
    assert spread("cello", "C4", "E5") < hand.stretched < without.spread


def test_a_lower_note_may_lie_on_the_higher_string() -> None:
    """The open D sounds below an E stopped on the G string: nothing has to be spanned."""
    hand, strings = held("violin")
    grip = easiest_grip((62.0, 64.0), strings, hand)
    assert grip is not None
    assert grip.strings == (1, 0)


def test_what_has_no_string_has_no_grip() -> None:
    """G3 with B3 has one string only (neighbouring strings, one for each note: lunanova)."""
    hand, strings = held("violin")
    assert easiest_grip((55.0, 59.0), strings, hand) is None


def test_an_extension_is_no_finger() -> None:
    """A bass with an extension gives its low C as an open string."""
    hand, strings = held("double-bass")
    grip = easiest_grip((float(midi_of("C1")), float(midi_of("C2"))), strings, hand)
    assert grip is not None
    assert grip.spread == 0.0


def test_only_bowed_strings_have_this_hand() -> None:
    """Other instruments have none."""
    assert hand_of("harp") is None


def test_a_hand_travels_only_beyond_its_span() -> None:
    """Within a position and to open strings it stays; up to the octave it has a way to go."""
    hand = held("violin")[0]
    first, octave = Grip((0, 1), (5.0, 2.0), 0.0), Grip((0, 1), (14.0, 12.0), 0.0)
    opened = Grip((0, 1), (0.0, 0.0), 0.0)
    assert travel_mm(first, first, hand) == 0.0
    assert travel_mm(first, opened, hand) == 0.0
    way = place_mm(hand.length, 14.0) - place_mm(hand.length, 2.0) - hand.comfortable
    assert travel_mm(first, octave, hand) == pytest.approx(way)
    assert way > 50.0


def pair(instrument: str, apart: int, *names: str) -> float:
    """Return the least span of two notes that alternate."""
    hand, strings = held(instrument)
    one, other = (float(midi_of(name)) for name in names)
    return pair_mm(one, other, strings, hand, apart)


def test_a_tremolo_of_the_fingers_lies_on_one_string() -> None:
    """About a fourth on the violin, a minor third on the cello in low positions (from memory)."""
    violin, cello = held("violin")[0].comfortable, held("cello")[0].comfortable
    assert pair("violin", 0, "A3", "D4") <= violin < pair("violin", 0, "A3", "Eb4")
    assert pair("cello", 0, "D2", "F2") <= cello < pair("cello", 0, "D2", "F#2")


def test_an_open_string_alternates_with_anything_on_it() -> None:
    """No finger has to span from the open string."""
    assert pair("violin", 0, "G3", "G4") == 0.0


def test_strings_between_are_skipped() -> None:
    """A3 has the lowest string only, A5 no string beside it; with one string more it is easy."""
    assert pair("violin", 1, "A3", "A5") > held("violin")[0].stretched
    assert pair("violin", 3, "A3", "A5") < held("violin")[0].comfortable
