"""The printed page as frozen values.

A Score holds what is printed and nothing that has to be inferred. Time is exact: every position is
a bar index and an offset in *ticks* from the start of that bar, with `Score.ticks_per_quarter`
ticks in a quarter note, chosen by the reader so that every duration in the file is whole.

::

    Score
    ├── bars    Bar: number as printed, start, length (shared by all parts)
    ├── parts   Part
    │   ├── notes   Note: notes, rests, graces, cues, in the order of the file
    │   ├── marks   Mark: everything printed at one place (levels, words, articulations, clefs …)
    │   └── spans   Span: everything with two ends (slurs, hairpins, ties, tuplets …)
    ├── groups  PartGroup: brackets and braces
    └── problems  Problem: what could not be understood or had to be assumed

The hot types are named tuples because a large score holds a hundred thousand of them.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import NamedTuple

STEP_SEMITONES = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}

Attributes = tuple[tuple[str, str], ...]


class Inner(NamedTuple):
    """An element of the file as it stands there; one without a name is bare text."""

    name: str
    text: str = ""
    attributes: Attributes = ()
    inside: "tuple[Inner, ...]" = ()


class Problem(NamedTuple):
    """Something in the file that could not be understood or had to be assumed.

    `code` is a stable word for programs, `text` one sentence that says what was found and what was
    assumed, `line` the line of the file (0 if none), `bar` the number as printed ("" if none).
    """

    code: str
    text: str
    line: int = 0
    bar: str = ""
    part: str = ""
    times: int = 1  # more than 1 where so many further problems of the kind are told as one


class Note(NamedTuple):
    """One printed note, rest or unpitched note. Pitch is as written; duration in ticks.

    `details` are the element's attributes and what its children say beyond the fields: accidental,
    notehead, beams. `path` leads from the bar to the element, as in a `Mark`. `inside` are those
    children of which the other fields do not hold everything, such as a stem with a length.
    """

    id: str
    line: int
    bar: int
    offset: int
    duration: int
    stave: int
    voice: str
    kind: str  # "pitched", "rest" or "unpitched"
    step: str = ""
    alter: float = 0.0
    octave: int = 0
    chord: bool = False  # stands in the same chord as the note before
    grace: bool = False
    slash: bool = False
    cue: bool = False
    hidden: bool = False
    whole_bar: bool = False
    tie_start: bool = False
    tie_stop: bool = False
    let_ring: bool = False
    type: str = ""
    dots: int = 0
    actual_notes: int = 1
    normal_notes: int = 1
    stem: str = ""
    instrument: str = ""
    details: Attributes = ()
    shape: tuple[str, ...] = ()  # the names of the element's children, in the order of the file
    path: str = ""
    inside: tuple[Inner, ...] = ()

    @property
    def written_midi(self) -> float:
        """Written pitch as a MIDI number (middle C = 60); meaningless for rests."""
        return 12.0 * (self.octave + 1) + STEP_SEMITONES[self.step] + self.alter


class Mark(NamedTuple):
    """Something printed at one place.

    `kind` is one of: level, word, tempo, rehearsal, articulation, ornament, technical, tremolo,
    fermata, arpeggio, breath, clef, key, meter, transposition, barline, repeat, ending, segno,
    coda, harp-pedals, instrument, lyric, layout, sound, other. `name` is the element's name in the
    file ("staccato", "pp"), `text` its content, `value` a number it carries (strokes, beats a
    minute, chromatic steps), `note` the id of the note that bears it ("" for a direction), and
    `group` is shared by the marks of one printed direction. `stave` is 0 where a mark holds for all
    staves of its part (key, meter, transposition, barlines, layout). `path` leads from the bar to
    the element: "7.2.1" is the first child of the second child of the bar's seventh child.
    `inside` are the element's children that are no marks themselves; where there are any, they say
    what the mark says in full.
    """

    id: str
    kind: str
    name: str
    line: int
    bar: int
    offset: int
    stave: int
    voice: str = ""
    text: str = ""
    value: float = 0.0
    note: str = ""
    group: int = 0
    placement: str = ""
    attributes: Attributes = ()
    path: str = ""
    inside: tuple[Inner, ...] = ()


class Anchor(NamedTuple):
    """One end of a span. `note` is the id of the note it hangs on, "" for a direction.

    `path` leads from the bar to the element, as in a `Mark`.
    """

    line: int
    bar: int
    offset: int
    stave: int
    voice: str = ""
    note: str = ""
    path: str = ""


class Span(NamedTuple):
    """Something with two ends; an end that the file does not give is None and is a problem.

    `kind`: slur, tie, hairpin, tuplet, glissando, slide, dashes, bracket, octave-shift, pedal,
    wavy-line, tremolo. `name` tells the variety ("crescendo", "diminuendo", "up", "down").
    `attributes` are those of the start, then those of the stop with "stop-" before their names;
    `inside` are the children of the start.
    """

    id: str
    kind: str
    name: str
    number: str
    start: Anchor | None
    stop: Anchor | None
    placement: str = ""
    attributes: Attributes = ()
    inside: tuple[Inner, ...] = ()


@dataclass(frozen=True, slots=True)
class Bar:
    """One bar of the whole score; `start` and `length` in ticks, `number` as printed."""

    index: int
    number: str
    start: int
    length: int


class ScoreInstrument(NamedTuple):
    """An instrument as the file declares it; `midi_program` is 1-based, 0 if not given."""

    id: str
    name: str
    sound: str = ""
    midi_program: int = 0
    midi_unpitched: int = 0


class PartGroup(NamedTuple):
    """A bracket or brace over the parts from `first` to `last` (part ids).

    `inside` is all that the file says of it where it begins.
    """

    number: str
    symbol: str
    name: str
    first: str
    last: str
    inside: tuple[Inner, ...] = ()


@dataclass(frozen=True)
class Part:
    """One part as printed: one or more staves. `name` is the printed name, display name first.

    `bar_path` is the XPath of its bars with "{bar}" where their number from 1 stands ("" if the
    file has none); `bar_attributes` are those of its bars' elements, in order, and `bar_contents`
    say how far what stands in each bar reaches, in ticks. `heading` is all that the list of parts
    says of the part.
    """

    id: str
    name: str
    abbreviation: str
    staves: int
    instruments: tuple[ScoreInstrument, ...]
    notes: tuple[Note, ...]
    marks: tuple[Mark, ...]
    spans: tuple[Span, ...]
    bar_path: str = ""
    bar_attributes: tuple[Attributes, ...] = ()
    bar_contents: tuple[int, ...] = ()
    heading: tuple[Inner, ...] = ()

    def marks_of(self, *kinds: str) -> Iterator[Mark]:
        """Yield the marks of the given kinds in the order of the file."""
        if len(kinds) == 1:
            return iter(self._marks_by_kind.get(kinds[0], ()))
        return (mark for mark in self.marks if mark.kind in kinds)

    def spans_of(self, *kinds: str) -> Iterator[Span]:
        """Yield the spans of the given kinds in the order of the file."""
        if len(kinds) == 1:
            return iter(self._spans_by_kind.get(kinds[0], ()))
        return (span for span in self.spans if span.kind in kinds)

    # A part is asked for its marks of one kind dozens of times, so it is gone through once.

    @cached_property
    def _marks_by_kind(self) -> dict[str, list[Mark]]:
        found: dict[str, list[Mark]] = {}
        for mark in self.marks:
            found.setdefault(mark.kind, []).append(mark)
        return found

    @cached_property
    def _spans_by_kind(self) -> dict[str, list[Span]]:
        found: dict[str, list[Span]] = {}
        for span in self.spans:
            found.setdefault(span.kind, []).append(span)
        return found


@dataclass(frozen=True)
class Origin:
    """Where a Score was read from: file name, SHA-256 of the bytes, and the kind of file."""

    name: str
    sha256: str
    format: str
    encoding_software: str = ""


@dataclass(frozen=True)
class Score:
    """The whole printed score, frozen.

    `metadata` is what the file says of the piece in words; `head` is everything that stands before
    the list of parts, layout and credits included.
    """

    title: str
    ticks_per_quarter: int
    bars: tuple[Bar, ...]
    parts: tuple[Part, ...]
    groups: tuple[PartGroup, ...]
    problems: tuple[Problem, ...]
    origin: Origin
    metadata: Attributes = ()
    head: tuple[Inner, ...] = ()

    @cached_property
    def notes_by_id(self) -> dict[str, Note]:
        """Every note under its id."""
        return {note.id: note for part in self.parts for note in part.notes}

    @cached_property
    def parts_by_id(self) -> dict[str, Part]:
        """Every part under its id."""
        return {part.id: part for part in self.parts}

    def tick(self, bar: int, offset: int) -> int:
        """Return the position in ticks from the start of the score, repeats not unfolded."""
        return self.bars[bar].start + offset

    def beat(self, offset: int) -> Fraction:
        """Return the 1-based position in the bar in quarter notes."""
        return 1 + Fraction(offset, self.ticks_per_quarter)

    def bar_at(self, tick: int) -> int:
        """Return the index of the bar that contains a position in ticks."""
        low, high = 0, len(self.bars) - 1
        while low < high:
            middle = (low + high + 1) // 2
            if self.bars[middle].start <= tick:
                low = middle
            else:
                high = middle - 1
        return low
