"""Walks along one part bar by bar: where we are, what is in force, what has been read."""

from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import NamedTuple

from redstave.model.score import Anchor, Attributes, Mark, Note
from redstave.reading.blanks import with_values
from redstave.reading.keeper import Act, Fault, Keeper, MarkSaid, Place, Said, StartSaid
from redstave.reading.numbers import exact
from redstave.reading.problems import Problems
from redstave.reading.spans import SpanDraft, Spans
from redstave.reading.steps import Values
from redstave.reading.ties import Ties
from redstave.reading.told import BarTag

_new = tuple.__new__  # for what is made a hundred thousand times: half the time of Mark(…)
LONGEST = 64  # bars: a longer note or gap is a damaged number


class BarRead(NamedTuple):
    """What one part says of one bar; lengths in ticks, `nominal` None without a metre.

    `sounding` is where the last note ends, `content` where everything ends, rests and gaps too.
    """

    number: str
    content: int
    sounding: int
    nominal: int | None
    implicit: bool
    line: int
    attributes: Attributes


ABSENT = BarRead("", 0, 0, None, implicit=False, line=0, attributes=())


class Walk(Keeper):
    """One part being read. Everything that a handler of an element needs is here."""

    def __init__(self, part: str, ticks_per_quarter: int, problems: Problems) -> None:
        self.part = part
        self.ticks_per_quarter = ticks_per_quarter
        self._problems = problems
        self.notes: list[Note] = []
        self.marks: list[Mark] = []
        self.bars: list[BarRead] = []
        self.spans = Spans()
        self.ties = Ties(self.spans)
        self.staves = 1
        self.nominal: int | None = None
        self.has_meter = False
        self.divisions: Fraction | None = None
        self.groups = 0
        self.bar_path = ""  # of the part's bars: see Part
        self.known_ticks: dict[str | None, int] = {}
        self._start = 0  # of the bar, in ticks from the part's beginning
        self._go_to_bar(0, BarTag.of(()))

    # Bars and position

    def begin_bar(self, line: int, tag: BarTag) -> None:
        """Go to the beginning of the next bar, which has this tag at a line."""
        self._go_to_bar(line, tag)
        if tag.number is None:
            self.problem("no-bar-number", "The bar has no number; it was counted.", line)

    def _go_to_bar(self, line: int, tag: BarTag) -> None:
        self.bar = len(self.bars)
        self.prefix = f"{self.part}.{self.bar}."
        self._line = line
        self._tag = tag
        self.cursor = 0
        self.furthest = 0
        self.sounding = 0
        self.chord_onset: int | None = None
        self.position = 0  # of the element being read, among those of the bar
        self.note_count = 0
        self.mark_count = 0

    @property
    def number(self) -> str:
        """The number of the bar; one that has none is counted."""
        return self._tag.number or str(self.bar + 1)

    def stay_away(self, bar: int) -> None:
        """Go to the bar of that index; the part does not stand in the bars before it."""
        self.bars.extend([ABSENT] * (bar - len(self.bars)))

    def end_bar(self) -> None:
        """Close the bar that has been read."""
        if not self.bars and not self.has_meter:
            text = "The part gives no metre; its bars were taken as long as what stands in them."
            self.problem("no-meter", text, self._line)
        content = self.furthest
        number, implicit, attributes = self._tag
        self.bars.append(_new(BarRead, (
            number or self.number, content, self.sounding, self.nominal, implicit, self._line,
            attributes,
        )))  # fmt: skip
        self._start += content or self.nominal or 0

    def advance(self, ticks: int) -> None:
        """Move along the bar; a negative number moves back."""
        self.cursor += ticks
        if self.cursor > self.furthest:
            self.furthest = self.cursor

    def go_behind(self, duration: int, sounds: bool) -> int:
        """Go behind a note, or a rest that does not sound; return where it begins."""
        offset = self.cursor
        self.chord_onset = offset
        if duration:
            end = self.cursor = offset + duration
            if end > self.furthest:
                self.furthest = end
            if sounds and end > self.sounding:
                self.sounding = end
        return offset

    def tick(self, offset: int) -> int:
        """Return an offset in this bar in ticks from the part's beginning."""
        return self._start + offset

    # Durations

    def divide(self, number: Fraction) -> None:
        """Take the divisions of a quarter in force from here on."""
        if number != self.divisions:
            self.divisions = number
            self.known_ticks = {}

    def ticks(self, text: str | None, line: int, bounded: bool = True) -> int:
        """Return a duration of the file in ticks; damaged and endless ones are 0 and a problem."""
        known = self.known_ticks.get(text)
        if known is not None:
            return known
        if self.divisions is None:
            self.problem(
                "no-divisions",
                "The part does not say into how many divisions a quarter is divided; "
                "1 was assumed.",
                line,
            )
            self.divisions = Fraction(1)
        number = exact(text)
        if number is None or number < 0:
            self.problem(
                "bad-duration",
                f"The duration {text!r} is not a number of 0 or more; 0 was assumed.",
                line,
            )
            return 0
        return self._exact_ticks(number, text, line, bounded)

    def _exact_ticks(self, number: Fraction, text: str | None, line: int, bounded: bool) -> int:
        exact_ticks = number * self.ticks_per_quarter / (self.divisions or 1)
        bar = max(self.nominal or 0, self.ticks_per_quarter * 4)
        if exact_ticks > LONGEST * bar:
            if bounded:
                said = f"The duration {text} is longer than {LONGEST} bars; 0 was assumed."
                self.problem("endless-duration", said, line)
            return 0 if bounded else int(exact_ticks)
        ticks = round(exact_ticks)
        if ticks != exact_ticks:
            said = f"The duration {text} is no whole number of ticks and was rounded."
            self.problem("rounded-duration", said, line)
            return ticks
        self.known_ticks[text] = ticks
        return ticks

    # What is kept

    def problem(self, code: str, text: str, line: int) -> None:
        """Report a problem of this bar."""
        self._problems.add(code, text, line, self.number, self.part)

    def keep(self, said: Said, line: int, place: Place, /) -> None:
        """Keep what the element at hand says, which stands at a line of this bar."""
        offset, stave, voice, note, group, _ = place
        self.tell([(said, 0, "", ())], (), line, self.path, offset, stave, voice, note, group)

    def tell(
        self,
        acts: Sequence[Act],
        values: Values,
        line: int,
        path: str,
        offset: int,
        stave: int,
        voice: str,
        note: str = "",
        group: int = 0,
    ) -> None:
        """Keep what a note or direction at a line and a place says; `values` fill its blanks."""
        bar, tick = self.bar, self._start + offset
        for said, below, inner, holes in acts:
            if isinstance(said, MarkSaid):
                kind, name, text, value, placement, attributes, held = said
                if holes:
                    attributes = with_values(attributes, holes, values)
                count = self.mark_count
                self.mark_count = count + 1
                self.marks.append(_new(Mark, (
                    f"{self.prefix}m{count}", kind, name, line + below, bar, offset, stave, voice,
                    text, value, note, group, placement, attributes, path + inner, held,
                )))  # fmt: skip
                continue
            anchor = _new(Anchor, (line + below, bar, offset, stave, voice, note, path + inner))
            if isinstance(said, StartSaid):
                kind, name, number, placement, attributes, held = said
                if holes:
                    attributes = with_values(attributes, holes, values)
                draft = SpanDraft(kind, name, number, anchor, None, placement, attributes, held)
                self.spans.start(draft, tick)
            else:
                kind, number, attributes = said
                if holes:
                    attributes = with_values(attributes, holes, values)
                self.spans.stop(kind, number, anchor, tick, attributes)

    def tell_faults(self, faults: Iterable[Fault], line: int) -> None:
        """Report the problems that have been recorded of a note or direction at a line."""
        for code, text, below in faults:
            self.problem(code, text, line + below)
