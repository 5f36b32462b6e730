"""What a tiny score says, before it is written as MusicXML. Durations are in whole notes."""

from dataclasses import dataclass, field
from fractions import Fraction
from typing import NamedTuple


class Pitch(NamedTuple):
    """A spelled pitch; C4 is middle C."""

    step: str
    alter: int
    octave: int


@dataclass(slots=True)
class Head:
    """One notehead of a chord."""

    pitch: Pitch
    marks: tuple[str, ...] = ()
    tie_start: bool = False
    tie_stop: bool = False
    accidental: str = ""  # as printed, filled in by page.py


@dataclass(slots=True)
class Event:
    """A chord, a single note (one head), a rest (no heads) or a hidden space."""

    line: int
    onset: Fraction
    duration: Fraction
    value: int
    dots: int
    heads: list[Head] = field(default_factory=list)
    ratio: Fraction = Fraction(1)
    grace: bool = False
    space: bool = False
    whole_bar: bool = False
    marks: tuple[str, ...] = ()
    slurs: list[tuple[str, int]] = field(default_factory=list)
    tuplets: list[tuple[str, int]] = field(default_factory=list)
    gliss: list[str] = field(default_factory=list)
    beams: list[str] = field(default_factory=list)  # one word per beam, filled in by page.py
    stem: str = ""  # filled in by page.py


@dataclass(slots=True)
class Sign:
    """Something between the notes: `kind` is the kind of token, `text` what it says."""

    line: int
    onset: Fraction
    kind: str
    text: str
    number: int = 1


@dataclass(slots=True)
class Voice:
    """One voice of one stave in one bar, in the order of the text."""

    stave: int
    number: int
    items: list[Event | Sign] = field(default_factory=list)
    length: Fraction = Fraction(0)

    @property
    def events(self) -> list[Event]:
        """The notes and rests without the signs between them."""
        return [item for item in self.items if isinstance(item, Event)]

    @property
    def signs(self) -> list[Sign]:
        """The signs between the notes."""
        return [item for item in self.items if isinstance(item, Sign)]


@dataclass(slots=True)
class Bar:
    """One bar of one part; `left` and `right` are "", "repeat", "double" or "final"."""

    line: int
    voices: list[Voice]
    meter: str = ""
    length: Fraction = Fraction(0)  # in whole notes
    left: str = ""
    right: str = ""


@dataclass(slots=True)
class Part:
    """One part: its name, what its heading sets, and its bars."""

    line: int
    name: str
    settings: dict[str, str]
    bars: list[Bar]

    @property
    def transpose(self) -> int:
        """Semitones from written to sounding."""
        return int(self.settings.get("transpose", "0"))

    @property
    def staves(self) -> int:
        """Number of staves."""
        return int(self.settings.get("staves", "1"))

    @property
    def clefs(self) -> list[str]:
        """The clef of each stave, from the top; two staves without a word are treble and bass."""
        named = [name.strip() for name in self.settings.get("clef", "").split(",") if name.strip()]
        usual = ["treble", *["bass"] * (self.staves - 1)]
        return named + usual[len(named) :]


@dataclass(frozen=True)
class TinyScore:
    """A whole tiny score."""

    title: str
    arranger: str
    meter: str
    key: int
    tempo: float | None
    tempo_word: str
    sounding: bool
    pickup: Fraction | None
    strict: bool
    parts: list[Part]
