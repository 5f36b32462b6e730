"""Joins tied notes: a tie runs from a note to the next one of its pitch."""

from typing import NamedTuple

from redstave.model.score import STEP_SEMITONES, Anchor, Attributes, Note
from redstave.reading.spans import SpanDraft, Spans, await_other_end

FARTHEST = 2  # bars from a tie's first note to its end: what lies farther is not its end


_new = tuple.__new__  # for what is made ten thousand times: see `redstave.reading.walk`


class Tied(NamedTuple):
    """A `<tied>`: its path from its note, and what it says beyond that a tie starts or stops."""

    path: str
    attributes: Attributes = ()


class OpenTie(NamedTuple):
    """A tie that waits for its other note; `end` is where its first note ends, in ticks."""

    draft: SpanDraft
    end: int


class Ties:
    """The ties of one part. Positions are ticks from the part's beginning."""

    def __init__(self, spans: Spans) -> None:
        self._spans = spans
        self._open: dict[float, list[OpenTie]] = {}
        self._early: dict[float, list[OpenTie]] = {}
        self.passing: list[SpanDraft] = []  # ties that pass over a bar to another note

    def stop(self, note: Note, tick: int, tied: Tied) -> None:
        """Let the note end the open tie of its pitch; without one the stop is kept alone."""
        height = _height(note)
        anchor = _anchor(note, tied.path)
        later = tuple([(f"stop-{name}", value) for name, value in tied.attributes])
        tie = self._best(height, anchor, tick)
        if tie is None:
            draft = SpanDraft("tie", "", "1", None, anchor, "", later)
            self._spans.drafts.append(draft)
            await_other_end(self._early.setdefault(height, []), OpenTie(draft, tick))
            return
        self._open[height].remove(tie)
        if _passes(tie, anchor, tick):
            self.passing.append(tie.draft)
        tie.draft.stop = anchor
        tie.draft.attributes += later

    def start(self, note: Note, tick: int, tied: Tied) -> None:
        """Let a tie begin on the note, or complete one whose end stood earlier in the file."""
        height, end = _height(note), tick + note.duration
        anchor = _anchor(note, tied.path)
        placement = next((value for name, value in tied.attributes if name == "placement"), "")
        for early in self._early.get(height, []):
            if early.end == end and note.duration:
                self._early[height].remove(early)
                early.draft.start = anchor
                early.draft.placement = placement
                early.draft.attributes = tied.attributes + early.draft.attributes
                return
        draft = SpanDraft("tie", "", "1", anchor, None, placement, tied.attributes)
        self._spans.drafts.append(draft)
        await_other_end(self._open.setdefault(height, []), OpenTie(draft, end))

    def _best(self, height: float, anchor: Anchor, tick: int) -> OpenTie | None:
        best, best_fit = None, -1
        for tie in self._open.get(height, []):
            start = tie.draft.start
            if start is None or tie.end > tick:
                continue
            if tie.end < tick and anchor.bar - start.bar > FARTHEST:
                continue  # two torn ties, not one
            fit = 4 * (tie.end == tick) + 2 * (start.voice == anchor.voice)
            fit += start.stave == anchor.stave
            if fit >= best_fit:
                best, best_fit = tie, fit
        return best


def _passes(tie: OpenTie, anchor: Anchor, tick: int) -> bool:
    start = tie.draft.start
    return start is not None and tie.end < tick and anchor.bar - start.bar > 1


def _height(note: Note) -> float:
    # Sounding height, so that a tie may be respelled; unpitched notes by their place on the stave.
    return 12 * note.octave + STEP_SEMITONES.get(note.step, 0) + note.alter


def _anchor(note: Note, path: str) -> Anchor:
    where = note.path + path
    return _new(Anchor, (
        note.line, note.bar, note.offset, note.stave, note.voice, note.id, where,
    ))  # fmt: skip
