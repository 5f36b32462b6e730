"""Slurs that are the pianist's."""

import pytest

from redstave.original.arcs import arcs, arcs_copied_share
from tests.original.pieces import CELLO, TUNE, VIOLA, VIOLIN, beside, part, piano


def under(bars: tuple[str, ...], *ends: tuple[int, int]) -> tuple[str, ...]:
    """Return bars under slurs, each from the first note of a bar to the last note of another."""
    found = list(bars)
    for first, last in ends:
        head, *rest = found[first].split()
        found[first] = " ".join([f"{head}(", *rest])
        found[last] += ")"
    return tuple(found)


ARC = piano(under(TUNE, (0, 3), (4, 7)))


def test_a_slur_from_the_same_note_to_the_same_note_is_a_copy() -> None:
    """Of three slurs of the violins one is the pianist's: it crosses three barlines."""
    entry = part("Violin I", under(TUNE, (0, 3), (4, 5), (6, 7))) + CELLO
    found = arcs(beside(entry, ARC))
    assert [arc.copied for arc in found] == [True, False, False]
    assert (found[0].barlines, found[0].source) == (3, 0)
    assert found[0].seconds == pytest.approx(16 * 60 / 96)
    assert arcs_copied_share(found) == pytest.approx(1 / 3)


def test_an_octave_makes_no_difference_and_harp_and_keyboard_do_not_count() -> None:
    """A flute an octave higher copies the arc too; a harp has no bow and no breath."""
    high = tuple(
        "".join(
            str(int(c) + 1) if before in "ABCDEFG" else c
            for before, c in zip(" " + bar, bar, strict=False)
        )
        for bar in TUNE
    )
    entry = part("Flute", under(high, (0, 3))) + part("Harp", under(TUNE, (0, 3))) + CELLO
    (arc,) = arcs(beside(entry, ARC))
    assert (arc.family, arc.copied) == ("woodwind", True)


def test_without_slurs_there_is_no_share() -> None:
    """No slur, no share; and nothing at all without an original."""
    assert arcs_copied_share(arcs(beside(VIOLIN + VIOLA + CELLO, ARC))) is None
