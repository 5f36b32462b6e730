"""A small piano piece and small entries made from it, for the tests of what became of it."""

from redstave.analysis import Analysis
from redstave.reading import read_bytes

HEAD = 'title: Path\nmeter: 4/4\nkey: 0\ntempo: 96 "Andante"\npitch: sounding\n'
TUNE = (
    "E5/4 D5 C5 G4", "A4/2 C5", "D5/4 E5 F5 D5", "E5/1",
    "G5/4 F5 E5 C5", "A5/2 G5", "F5/4 D5 E5 B4", "C5/1",
)  # fmt: skip
BROKEN = (
    "C3/8 G3 E4 G4 E4 G3 E4 G3", "F2/8 C3 A3 C4 A3 C3 A3 C3",
    "G2/8 D3 B3 F4 B3 D3 B3 D3", "C3/8 G3 E4 G4 E4 G3 E4 G3",
    "C3/8 G3 E4 G4 E4 G3 E4 G3", "F2/8 C3 A3 C4 A3 C3 A3 C3",
    "D3/8 A3 F4 A4 G2 D3 B3 D3", "C3/8 G3 E4 G4 E4 G3 E4 C3",
)  # fmt: skip
HELD = ("E4/1", "A3/1", "B3/1", "E4/1", "E4/1", "A3/1", "A3/2 B3", "E4/1")


def piano(tune: tuple[str, ...] = TUNE, low: tuple[str, ...] = BROKEN, words: str = "") -> str:
    """Return the piano piece: the tune in the right hand, broken chords in the left."""
    bars = (
        f"{high} // {words * (at == 0)}{left}"
        for at, (high, left) in enumerate(zip(tune, low, strict=True))
    )
    return f"part Piano | staves=2\nmf {' | '.join(bars)} |\n"


def part(name: str, bars: tuple[str, ...] | list[str], level: str = "mf") -> str:
    """Return one part of an entry."""
    return f"part {name}\n{level} {' | '.join(bars)} |\n"


def beside(entry: str, original: str) -> Analysis:
    """Return the analysis of an entry beside its original."""
    return Analysis(
        read_bytes((HEAD + entry).encode(), "entry.tiny"),
        original=read_bytes((HEAD + original).encode(), "piano.tiny"),
    )


VIOLIN = part("Violin I", TUNE)
CELLO = part("Violoncello | clef=bass", BROKEN)
VIOLA = part("Viola | clef=alto", HELD)
