"""Double stops on bowed strings against the cases of the strings' tuning.

Source of the verdicts: they follow from the tuning (common practice) and the two conditions that
each pitch needs its own string and that the strings be neighbours (reference texts on double
stops, read: lunanova, wpstop).
"""

from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from redstave.analysis.stops import assign, has_open_string

VIOLIN = (55, 62, 69, 76)
VIOLA = (48, 55, 62, 69)
CELLO = (36, 43, 50, 57)
BASS = (28, 33, 38, 43)
REACH = 29

STEPS = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}


def midi(name: str) -> int:
    """C#4 as a MIDI number."""
    return 12 * (int(name[-1]) + 1) + STEPS[name[0]] + name.count("#") - name[1:].count("b")


CASES = [
    (VIOLIN, "G3 B3", False),
    (VIOLIN, "A3 C4", False),
    (VIOLIN, "B3 D4", True),
    (VIOLIN, "C4 E4", True),
    (VIOLIN, "G3 D4", True),
    (VIOLIN, "C#4 D#4", True),
    (VIOLA, "D3 F3", False),
    (CELLO, "C2 E2", False),
    (CELLO, "C2 G2", True),
    (BASS, "E1 G1", False),
]


@pytest.mark.parametrize(("strings", "pitches", "possible"), CASES)
def test_cases_that_follow_from_the_tuning(
    strings: tuple[int, ...], pitches: str, possible: bool
) -> None:
    """The ten worked cases come out as the tuning demands."""
    found = assign([midi(name) for name in pitches.split()], strings, REACH)
    assert (found is not None) is possible


@pytest.mark.parametrize("strings", [VIOLIN, VIOLA, CELLO, BASS])
def test_two_pitches_below_the_second_string_are_impossible(strings: tuple[int, ...]) -> None:
    """Two pitches that only the lowest string has cannot sound together, and only those."""
    second = strings[1]
    assert assign([second - 2, second - 1], strings, REACH) is None
    assert assign([second - 1, second], strings, REACH) is not None


def test_open_fifths_take_their_own_strings() -> None:
    """All four open strings of a violin are four strings, lowest first."""
    assert assign(VIOLIN, VIOLIN, REACH) == (0, 1, 2, 3)


def test_a_fifth_note_finds_no_string() -> None:
    """Five notes on four strings cannot be had."""
    assert assign([55, 62, 69, 76, 83], VIOLIN, REACH) is None


def test_strings_must_be_neighbours() -> None:
    """A note only the lowest string has and one only the highest has do not go together."""
    assert assign([56, 103], VIOLIN, REACH) is None


def brute_force(pitches: list[int], strings: tuple[int, ...], reach: int) -> bool:
    """Try every way of giving the pitches different strings that stand side by side."""
    for chosen in permutations(range(len(strings)), len(pitches)):
        if max(chosen) - min(chosen) != len(pitches) - 1:
            continue
        if all(strings[s] <= p <= strings[s] + reach for s, p in zip(chosen, pitches, strict=True)):
            return True
    return False


@given(
    st.lists(st.integers(24, 108), min_size=1, max_size=5),
    st.sampled_from([VIOLIN, VIOLA, CELLO, BASS]),
    st.integers(7, 40),
)
def test_order_of_pitch_loses_nothing(
    pitches: list[int], strings: tuple[int, ...], reach: int
) -> None:
    """Trying strings in the order of the pitches finds a way wherever any way exists."""
    assert (assign(pitches, strings, reach) is not None) is brute_force(pitches, strings, reach)


def test_open_strings_are_seen() -> None:
    """D4 with B4 has an open string of the violin, C#4 with B4 has none."""
    assert has_open_string([62, 71], VIOLIN)
    assert not has_open_string([61, 71], VIOLIN)
