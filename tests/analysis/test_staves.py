"""Ledger lines by clef (drawing of the stave: common practice, no source)."""

import pytest

from redstave.analysis.staves import clefs, ledger_lines
from redstave.reading import read_bytes


@pytest.mark.parametrize(
    ("clef", "pitch", "lines"),
    [
        ("treble", "C4", -1),
        ("treble", "D4", 0),
        ("treble", "G5", 0),
        ("treble", "A5", 1),
        ("treble", "C6", 2),
        ("treble", "E6", 3),
        ("bass", "C4", 1),
        ("bass", "E2", -1),
        ("bass", "C2", -2),
        ("alto", "C4", 0),
        ("tenor", "E4", 0),
        ("tenor", "F4", 0),
        ("tenor", "G4", 1),
        ("tenor", "B4", 2),
    ],
)
def test_ledger_lines_by_clef(clef: str, pitch: str, lines: int) -> None:
    """Middle C needs one line below the treble and above the bass clef, none in alto."""
    text = f"title: t\nmeter: 4/4\npart Cello | clef={clef}\n{pitch}/1 |\n"
    part = read_bytes(text.encode(), "one.tiny").parts[0]
    assert ledger_lines(clefs(part), part.notes[0]) == lines
