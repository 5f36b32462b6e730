"""What an MEI file says, before it is written as MusicXML. Durations are in quarter notes."""

from collections import Counter
from dataclasses import dataclass, field
from fractions import Fraction

from lxml import etree


@dataclass(slots=True)
class Head:
    """One note of an event; `accidental` is MusicXML's word for the printed one."""

    step: str
    alter: float
    octave: int
    accidental: str = ""
    ties: set[str] = field(default_factory=set)  # "start", "stop", "let-ring"
    marks: list[etree._Element] = field(default_factory=list)


@dataclass(slots=True)
class Event:
    """A note, chord or rest of one layer; `notations` are the children of MusicXML's element."""

    onset: Fraction
    duration: Fraction
    type: str = ""
    dots: int = 0
    heads: list[Head] = field(default_factory=list)
    hidden: bool = False
    whole_bar: bool = False
    grace: str = ""  # "", "acc", "unacc"
    cue: bool = False
    stem: str = ""
    stave: int = 1
    ratio: Fraction = Fraction(1)
    tremolo: str = ""
    tuplets: list[tuple[str, int]] = field(default_factory=list)
    slurs: list[tuple[str, int]] = field(default_factory=list)
    spans: list[tuple[str, str, int]] = field(default_factory=list)
    marks: list[tuple[str, str, str]] = field(default_factory=list)  # family, name, placement


@dataclass(slots=True)
class Direction:
    """What stands above or below a stave at a time: the children of its direction-types."""

    onset: Fraction
    stave: int
    types: list[etree._Element]
    placement: str = ""
    tempo: str = ""


@dataclass(slots=True)
class Setting:
    """A clef, key or metre that holds from a time in a bar; the element is MusicXML's."""

    onset: Fraction
    element: etree._Element


@dataclass(slots=True)
class PartBar:
    """One bar of one part."""

    layers: dict[tuple[int, str], list[Event]] = field(default_factory=dict)
    directions: list[Direction] = field(default_factory=list)
    settings: list[Setting] = field(default_factory=list)


@dataclass(slots=True)
class BarSigns:
    """What a bar has in all parts."""

    number: str
    implicit: bool = False
    left: str = ""
    right: str = ""
    ending_starts: str = ""
    ending_stops: str = ""
    break_before: str = ""


@dataclass(slots=True)
class Part:
    """One part: the numbers of its staves in the file, from the top."""

    name: str
    abbreviation: str
    staves: tuple[str, ...]
    transposition: tuple[int, int] = (0, 0)  # diatonic, chromatic, from written to sounding
    bars: list[PartBar] = field(default_factory=list)


@dataclass(slots=True)
class Music:
    """The whole piece. `groups` are brackets: symbol, first and last index of a part."""

    title: str = ""
    composer: str = ""
    parts: list[Part] = field(default_factory=list)
    groups: list[tuple[str, int, int]] = field(default_factory=list)
    bars: list[BarSigns] = field(default_factory=list)
    left_out: Counter[str] = field(default_factory=Counter)
