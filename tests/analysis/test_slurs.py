"""Slurs: the notes between the two ends of each, in its voice."""

from redstave.analysis.slurs import slurred
from redstave.reading import read_bytes


def test_notes_under_slurs_are_named() -> None:
    """The three notes of the slur and no other are named; the second voice is left out."""
    text = "meter: 4/4\npart Flute\nC5/4( D5 E5) F5 & C4/1 |.\n"
    score = read_bytes(text.encode(), "slur.tiny")
    notes = {note.id: note for note in score.parts[0].notes}
    assert sorted(notes[one].step for one in slurred(score)) == ["C", "D", "E"]
    assert all(notes[one].octave == 5 for one in slurred(score))


def test_no_slur_no_notes() -> None:
    """Without slurs nothing is named."""
    score = read_bytes(b"part Flute\nC5/4 D5 E5 F5 |.\n", "plain.tiny")
    assert slurred(score) == frozenset()
