"""The rhythm of the accompaniment: where in the bar it strikes, and for how long that goes on."""

from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby

import numpy as np

from redstave.analysis.analysis import Analysis

LEAST_STROKES = 2  # one note a bar is no rhythm
LEADING = 0.5  # a line belongs to the tune in a bar where it carries it for this share of its time

Rhythm = tuple[Fraction, ...]


@dataclass(frozen=True, slots=True)
class Pattern:
    """A rhythm that accompanies: `onsets` in quarter notes from the barline.

    It goes on from bar `first` for `bars` bars without a break.
    """

    onsets: Rhythm
    first: int
    bars: int


def patterns(analysis: Analysis) -> tuple[Pattern | None, ...]:
    """Return for each bar the rhythm that most accompanying lines share, None where none has any.

    Of rhythms that equally many share, the one that goes on from the bar before is taken, then the
    busiest.
    """
    by_bar = _rhythms(analysis)
    chosen: list[Rhythm | None] = []
    for rhythms in by_bar:
        before = chosen[-1] if chosen else None
        chosen.append(_most_shared(rhythms, before))
    found: list[Pattern | None] = []
    for rhythm, run in groupby(chosen):
        bars = len(list(run))
        first = len(found)
        found += [Pattern(rhythm, first, bars) if rhythm else None] * bars
    return tuple(found)


def _most_shared(rhythms: Sequence[Rhythm], before: Rhythm | None) -> Rhythm | None:
    if not rhythms:
        return None
    counted = Counter(rhythms)
    return max(dict.fromkeys(rhythms), key=lambda one: (counted[one], one == before, len(one), one))


def _rhythms(analysis: Analysis) -> list[list[Rhythm]]:
    """Return for each bar the rhythm of every line that plays there without leading."""
    quarter, bars = analysis.score.ticks_per_quarter, analysis.score.bars
    leads = _leading(analysis)
    struck: dict[tuple[int, int], set[int]] = defaultdict(set)
    for tone in analysis.playing.tones:
        if not tone.continued and tone.stop > tone.start:
            struck[tone.bar, tone.line].add(tone.start - bars[tone.bar].start)
    found: list[list[Rhythm]] = [[] for _ in bars]
    for (bar, line), ticks in sorted(struck.items()):
        if len(ticks) >= LEAST_STROKES and (bar, line) not in leads:
            found[bar].append(tuple(Fraction(tick, quarter) for tick in sorted(ticks)))
    return found


def _leading(analysis: Analysis) -> frozenset[tuple[int, int]]:
    """Return the bars (index) and lines (index) in which a line carries the tune."""
    slices, strand = analysis.slices, analysis.line_strand
    sounds = strand >= 0
    leads = sounds & (strand == analysis.tune.strand[:, None])
    bars, lines = len(analysis.score.bars), strand.shape[1]
    time = np.zeros((bars, lines))
    led = np.zeros((bars, lines))
    np.add.at(time, slices.bar, sounds * slices.seconds[:, None])
    np.add.at(led, slices.bar, leads * slices.seconds[:, None])
    where = np.argwhere((time > 0.0) & (led >= LEADING * time))
    return frozenset((int(bar), int(line)) for bar, line in where)
