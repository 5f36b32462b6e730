"""Joins the two ends of slurs, hairpins and everything else that begins here and ends there.

The file gives each end a number, which it may use again in another voice or stave at the same
time, and writes voice after voice: an end can stand before its beginning. So a stop looks for the
open start of its number in its own voice first, then in its stave, then anywhere; and a start looks
back in its own bar for a stop that came too early in the file.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple, TypeVar

from redstave.model.score import Anchor, Attributes, Bar, Inner, Span
from redstave.reading.problems import Problems

NAMES = {
    "dashes": "A dashed line",
    "bracket": "A bracket",
    "octave-shift": "An octave line",
    "pedal": "A pedal mark",
    "wavy-line": "A wavy line",
}


OPEN_AT_ONCE = 16  # spans of one kind and number; older ones wait no longer, so time stays linear


@dataclass(slots=True, eq=False)
class SpanDraft:
    """A span of which one end may still be missing."""

    kind: str
    name: str
    number: str
    start: Anchor | None
    stop: Anchor | None
    placement: str
    attributes: Attributes
    inside: tuple[Inner, ...] = ()

    def finished(self, span_id: str) -> Span:
        """Return the span under its id."""
        return tuple.__new__(Span, (
            span_id, self.kind, self.name, self.number, self.start, self.stop, self.placement,
            self.attributes, self.inside,
        ))  # fmt: skip


Key = tuple[str, str]
Waiting = TypeVar("Waiting")


class Early(NamedTuple):
    """A stop that has found no start yet; `tick` is its place from the part's beginning."""

    draft: SpanDraft
    tick: int


class Spans:
    """The spans of one part, in the order in which their first end stands in the file."""

    def __init__(self) -> None:
        self.drafts: list[SpanDraft] = []
        self._open: dict[Key, list[SpanDraft]] = {}
        self._early: dict[Key, list[Early]] = {}

    def start(self, draft: SpanDraft, tick: int) -> None:
        """Begin a span, or complete one whose stop came too early in the file."""
        key = draft.kind, draft.number
        early = self._take_early(key, draft.start, tick)
        if early is None:
            self.drafts.append(draft)
            await_other_end(self._open.setdefault(key, []), draft)
            return
        early.start, early.name, early.placement = draft.start, draft.name, draft.placement
        early.attributes = (*draft.attributes, *early.attributes)
        early.inside = draft.inside

    def stop(
        self, kind: str, number: str, anchor: Anchor, tick: int, attributes: Attributes = ()
    ) -> None:
        """End the open span that fits best; without one the stop is kept alone."""
        later = tuple((f"stop-{name}", value) for name, value in attributes)
        key = kind, number
        draft = self._best(self._open.get(key, []), anchor)
        if draft is None:
            draft = SpanDraft(kind, "", number, None, anchor, "", later)
            self.drafts.append(draft)
            await_other_end(self._early.setdefault(key, []), Early(draft, tick))
            return
        self._open[key].remove(draft)
        draft.stop = anchor
        draft.attributes = (*draft.attributes, *later)

    def _best(self, drafts: list[SpanDraft], anchor: Anchor) -> SpanDraft | None:
        best, best_fit = None, -1
        for draft in drafts:  # the latest of equals wins
            start = draft.start
            if start is None or (start.bar, start.offset) > (anchor.bar, anchor.offset):
                continue
            fit = 2 * (start.voice == anchor.voice) + (start.stave == anchor.stave)
            if fit >= best_fit:
                best, best_fit = draft, fit
        return best

    def _take_early(self, key: Key, start: Anchor | None, tick: int) -> SpanDraft | None:
        waiting = self._early.get(key)
        if not waiting or start is None:
            return None
        waiting[:] = [early for early in waiting if early.tick >= tick]
        for early in waiting:
            # A direction may begin and end at one place, with its end written first.
            if early.tick > tick or not start.note:
                waiting.remove(early)
                return early.draft
        return None


def await_other_end(waiting: list[Waiting], end: Waiting) -> None:
    """Add an end to those of its kind that wait for the other one."""
    waiting.append(end)
    del waiting[:-OPEN_AT_ONCE]


def report_span(span: Span, part: str, bars: Sequence[Bar], problems: Problems) -> None:
    """Report a span that lacks an end, or a hairpin that has no length."""
    anchor = span.start or span.stop
    if anchor is None:
        return
    code, said = "", ""
    if span.stop is None:
        code, said = "without-end", "begins here and never ends"
    elif span.start is None:
        code, said = "without-beginning", "ends here and never begins"
    elif span.kind == "hairpin" and _tick(span.start, bars) >= _tick(span.stop, bars):
        code, said = "without-length", "begins and ends at the same place"
    if code:
        text = f"{NAMES.get(span.kind, f'A {span.kind}')} {said}."
        problems.add(f"{span.kind}-{code}", text, anchor.line, bars[anchor.bar].number, part)


def report_passing(tie: SpanDraft, part: str, bars: Sequence[Bar], problems: Problems) -> None:
    """Report a tie that leads past the next bar to a note that its own does not reach."""
    if tie.start is not None and tie.stop is not None:
        first, last = bars[tie.start.bar].number, bars[tie.stop.bar].number
        text = (
            f"A tie leads from bar {first} past what stands between to bar {last}; it was kept as "
            "it is printed, and its notes were read as struck apart."
        )
        problems.add("tie-over-notes", text, tie.start.line, first, part)


def _tick(anchor: Anchor, bars: Sequence[Bar]) -> int:
    return bars[anchor.bar].start + anchor.offset
