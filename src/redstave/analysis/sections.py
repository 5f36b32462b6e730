"""Sections of a piece, as far as the page marks them, and the colours they are scored in."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from redstave.analysis.slices import Slices
from redstave.model.line import Playing
from redstave.model.score import Mark, Score

Floats = NDArray[np.float64]

SHORTEST_BARS = 4  # a shorter stretch between two marks is joined to the one before (ours)
DOUBLE_BARLINES = frozenset({"light-light", "light-heavy", "heavy-light", "heavy-heavy"})


@dataclass(frozen=True, slots=True)
class Section:
    """Bars `first` to `last` (indices, both inside)."""

    first: int
    last: int


def sections(score: Score) -> tuple[Section, ...]:
    """Cut a score at rehearsal letters, double bars, and changes of key or metre."""
    starts = {0}
    for part in score.parts:
        for mark in part.marks:
            bar = _opens(mark)
            if bar is not None and 0 < bar < len(score.bars):
                starts.add(bar)
    kept = [0]
    for start in sorted(starts - {0}):
        if start - kept[-1] >= SHORTEST_BARS and len(score.bars) - start >= SHORTEST_BARS:
            kept.append(start)
    ends = [*(start - 1 for start in kept[1:]), len(score.bars) - 1]
    return tuple(Section(first, last) for first, last in zip(kept, ends, strict=True))


def _opens(mark: Mark) -> int | None:
    """Return the bar that a mark opens as a new section, if it does."""
    if mark.kind == "rehearsal" or (mark.kind == "key" and mark.bar > 0):
        return mark.bar
    if mark.kind == "barline" and mark.name in DOUBLE_BARLINES:
        return mark.bar + 1
    return None


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
