"""Sections of a piece, and the colours they are scored in.

A section opens at a rehearsal letter, a double bar, a new key or a new tempo, and wherever those
who know more (the piano original, the teacher) say so.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from redstave.analysis.slices import Slices
from redstave.model.line import Playing, TempoMap
from redstave.model.score import Mark, Score

Floats = NDArray[np.float64]

SHORTEST_BARS = 4  # a shorter stretch between two marks is joined to the one before (ours)
DOUBLE_BARLINES = frozenset({"light-light", "light-heavy", "heavy-light", "heavy-heavy"})
NEW_TEMPO = 1.08  # a steady tempo so many times quicker or slower than the one before (ours)
YOUR_CUT = "your cut"
NOTHING: Mapping[int, str] = {}


@dataclass(frozen=True, slots=True)
class Section:
    """Bars `first` to `last` (indices, both inside); `opened` says what opens it, "" for the first.

    Several reasons are joined with a comma: "letter B, new key, new tempo".
    """

    first: int
    last: int
    opened: str = ""


def sections(
    score: Score,
    tempo: TempoMap | None = None,
    more: Mapping[int, str] = NOTHING,
    cuts: Sequence[int] = (),
) -> tuple[Section, ...]:
    """Cut a score at letters, double bars, new keys and, where it is given, new tempi.

    `more` holds further openings by bar, with what opens there. `cuts` are the teacher's own: bars
    (indices) where sections begin; where there are any, nothing else cuts.
    """
    if cuts:
        starts = sorted({cut for cut in cuts if 0 < cut < len(score.bars)})
        return _between(score, [0, *starts], dict.fromkeys(starts, YOUR_CUT))
    reasons = _openings(score, tempo, more)
    kept = [0]
    for start in sorted(reasons):
        if start - kept[-1] >= SHORTEST_BARS and len(score.bars) - start >= SHORTEST_BARS:
            kept.append(start)
    return _between(score, kept, reasons)


def _between(
    score: Score, starts: Sequence[int], reasons: Mapping[int, str]
) -> tuple[Section, ...]:
    stops = [*(start - 1 for start in starts[1:]), len(score.bars) - 1]
    return tuple(
        Section(first, last, reasons.get(first, ""))
        for first, last in zip(starts, stops, strict=True)
    )


def _openings(score: Score, tempo: TempoMap | None, more: Mapping[int, str]) -> dict[int, str]:
    """Return what opens at each bar (index) but the first."""
    found: dict[int, list[str]] = defaultdict(list)
    for part in score.parts:
        for mark in part.marks:
            for bar, reason in _opens(mark):
                found[bar].append(reason)
    for bar in _new_tempi(score, tempo) if tempo else ():
        found[bar].append("new tempo")
    for bar, reason in more.items():
        found[bar].append(reason)
    return {
        bar: ", ".join(dict.fromkeys(reasons))
        for bar, reasons in found.items()
        if 0 < bar < len(score.bars)
    }


def _opens(mark: Mark) -> Iterator[tuple[int, str]]:
    """Yield the bar that a mark opens as a new section, if it does, and what opens it."""
    if mark.kind == "rehearsal":
        yield mark.bar, f"letter {mark.text.strip()}"
    elif mark.kind == "key" and mark.bar > 0:
        yield mark.bar, "new key"
    elif mark.kind == "barline" and mark.name in DOUBLE_BARLINES:
        yield mark.bar + 1, "double bar"


def _new_tempi(score: Score, tempo: TempoMap) -> Iterator[int]:
    """Yield the bars where a tempo begins that is kept for long and differs from the last such."""
    ends = [
        *(point.tick for point in tempo.points[1:]),
        score.bars[-1].start + score.bars[-1].length,
    ]
    steady = [
        point
        for point, end in zip(tempo.points, ends, strict=True)
        if point.goal == point.quarters and _bars_between(score, point.tick, end) >= SHORTEST_BARS
    ]
    for before, here in pairwise(steady):
        ratio = here.quarters / before.quarters
        if max(ratio, 1.0 / ratio) >= NEW_TEMPO:
            yield score.bar_at(here.tick)


def _bars_between(score: Score, first: int, last: int) -> int:
    return score.bar_at(max(first, last - 1)) - score.bar_at(first) + 1


def sounding_share(slices: Slices, playing: Playing, bars: int) -> Floats:
    """Return the share of each bar in which each line sounds: [bars, lines], 0 to 1."""
    line = np.array([tone.line for tone in playing.tones], dtype=np.int64)[slices.row_tone]
    lines = len(playing.lines)
    pairs = np.unique(slices.row_slice * lines + line)
    at = pairs // lines
    seconds = slices.seconds[at]
    place = slices.bar[at] * lines + pairs % lines
    share = np.bincount(place, seconds, minlength=bars * lines).reshape(bars, lines)
    whole = np.zeros(bars)
    for bar, begin, end in zip(slices.bar, slices.start_s, slices.stop_s, strict=True):
        whole[bar] += end - begin
    found: Floats = share / np.maximum(whole, 1e-9)[:, None]
    return found


def colours(share: Floats, parts: tuple[Section, ...], playing: Playing) -> Floats:
    """Return the colour of each section: how much each instrument sounds, scaled to length 1."""
    names = sorted({line.instrument for line in playing.lines})
    member = np.array(
        [[line.instrument == name for name in names] for line in playing.lines], dtype=np.float64
    )
    found = np.array([share[one.first : one.last + 1].mean(axis=0) @ member for one in parts])
    length = np.linalg.norm(found, axis=1, keepdims=True)
    scaled: Floats = found / np.where(length > 0.0, length, 1.0)
    return scaled
