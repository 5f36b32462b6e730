"""Joins the two ends of slurs, hairpins and everything else that begins here and ends there.

The file gives each end a number, which it may use again in another voice or stave at the same
time, and writes voice after voice: an end can stand before its beginning. So a stop looks for the
open start of its number in its own voice first, then in its stave, then anywhere; and a start looks
back in its own bar for a stop that came too early in the file.
"""

from dataclasses import dataclass

from redstave.model.score import Anchor, Attributes, Span

NAMES = {"tie": "tie", "octave-shift": "octave line", "wavy-line": "wavy line"}


@dataclass(slots=True)
class SpanDraft:
    """A span of which one end may still be missing."""

    kind: str
    name: str
    number: str
    start: Anchor | None
    stop: Anchor | None
    placement: str
    attributes: Attributes

    def finished(self, span_id: str) -> Span:
        """Return the span under its id."""
        return Span(
            span_id,
            self.kind,
            self.name,
            self.number,
            self.start,
            self.stop,
            self.placement,
            self.attributes,
        )


Key = tuple[str, str]


class Spans:
    """The spans of one part, in the order in which their first end stands in the file."""

    def __init__(self) -> None:
        self.drafts: list[SpanDraft] = []
        self._open: dict[Key, list[SpanDraft]] = {}
        self._early: dict[Key, list[SpanDraft]] = {}

    def start(
        self,
        kind: str,
        name: str,
        number: str,
        anchor: Anchor,
        placement: str = "",
        attributes: Attributes = (),
    ) -> None:
        """Begin a span, or complete one whose stop came earlier in the same bar of the file."""
        early = self._take_early((kind, number), anchor)
        if early is not None:
            early.start, early.name, early.placement = anchor, name, placement
            early.attributes = (*attributes, *early.attributes)
            return
        draft = SpanDraft(kind, name, number, anchor, None, placement, attributes)
        self.drafts.append(draft)
        self._open.setdefault((kind, number), []).append(draft)

    def stop(self, kind: str, number: str, anchor: Anchor, attributes: Attributes = ()) -> None:
        """End the open span that fits best; without one the stop is kept alone."""
        later = tuple((f"stop-{name}", value) for name, value in attributes)
        draft = self._best(self._open.get((kind, number), []), anchor)
        if draft is None:
            draft = SpanDraft(kind, "", number, None, anchor, "", later)
            self.drafts.append(draft)
            self._early.setdefault((kind, number), []).append(draft)
            return
        self._open[kind, number].remove(draft)
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

    def _take_early(self, key: Key, start: Anchor) -> SpanDraft | None:
        waiting = self._early.get(key)
        if not waiting:
            return None
        waiting[:] = [draft for draft in waiting if draft.stop and draft.stop.bar == start.bar]
        for draft in waiting:
            if draft.stop and draft.stop.offset > start.offset:
                waiting.remove(draft)
                return draft
        return None
