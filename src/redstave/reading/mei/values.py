"""What an MEI file says, before it is written as MusicXML. Durations are in quarter notes."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from typing import NamedTuple

from lxml import etree


@dataclass(slots=True)
class Head:
    """One note of an event; `accidental` is MusicXML's word for the printed one.

    Without a pitch, step and octave are those that its place on the stave would have under a
    treble clef, as MusicXML tells places; step "" where the file names no place.
    """

    step: str
    alter: float
    octave: int
    accidental: str = ""
    unpitched: bool = False
    ties: set[str] = field(default_factory=set)  # "start", "stop", "let-ring"
    marks: list[etree._Element] = field(default_factory=list)


class Hung(NamedTuple):
    """A sign on an event, in MusicXML's words; `family` is the element around it, "" for none."""

    family: str
    name: str
    placement: str = ""
    text: str = ""
    type: str = ""
    number: str = ""


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
    marks: list[Hung] = field(default_factory=list)


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


def events_of(bar: PartBar) -> Iterator[Event]:
    """Yield the events of all layers of a bar."""
    return (event for events in bar.layers.values() for event in events)


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
    """The whole piece. `groups` are brackets: symbol, first and last index of a part.

    `first_bars` gives, for each measure of the file, the index of its bar, or of the first of those
    that it stands for. `tells_sounding` is whether the file writes sounding accidentals
    (accid.ges); where it writes none at all, they follow from the key and from what stands before
    in the bar, and `infers` tells that some did.
    """

    title: str = ""
    composer: str = ""
    parts: list[Part] = field(default_factory=list)
    groups: list[tuple[str, int, int]] = field(default_factory=list)
    bars: list[BarSigns] = field(default_factory=list)
    first_bars: list[int] = field(default_factory=list)
    tells_sounding: bool = True
    infers: bool = False
    left_out: Counter[str] = field(default_factory=Counter)
