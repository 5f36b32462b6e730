"""Figures for a pianist's hand that one player of the entry plays note by note.

A bar of a line is a literal copy where nearly all its tones come from one stave of the original, at
the same moments, all as many octaves away, and nearly all of that stave's moments are there. What
kind of figure it is, is then read from what the player has to play. Which kind suits which
instrument is ours (common practice; the kinds follow a handbook's chart of keyboard idioms).
"""

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from enum import StrEnum
from itertools import pairwise
from typing import NamedTuple

from redstave.analysis import Analysis
from redstave.model.line import Tone
from redstave.original.beside import Beside, beside

LEAST_TONES = 5  # in a bar: fewer are no figure
NEARLY_ALL = 0.8
THIRD, LEAP = 3, 7  # semitones: a minor third, a fifth
WIDE = 15  # semitones: more than an octave and a third between lowest and highest
TWO_OCTAVES = 24
SLOWEST = 2.0  # tones a second: slower ones are notes, not a figure
QUICK = 6.0  # tones a second: a tremolo


class Figure(StrEnum):
    """What a hand does, the boldest first."""

    OCTAVES = "broken octaves"
    TREMOLO = "hand tremolo"
    ARPEGGIO = "arpeggio over two octaves"
    LEAPING = "broken chords with leaps"
    CLOSE = "broken chords"


_REEDS = frozenset({"oboe", "cor-anglais", "bassoon", "contrabassoon"})
_BRASS = frozenset({"horn", "trumpet", "cornet", "trombone", "bass-trombone", "tuba", "ophicleide"})
UNSUITED = {
    Figure.OCTAVES: _REEDS | _BRASS | {"flute", "piccolo"},
    Figure.TREMOLO: _REEDS | _BRASS,
    Figure.ARPEGGIO: _REEDS | _BRASS,
    Figure.LEAPING: _REEDS | _BRASS,
    Figure.CLOSE: frozenset[str](),
}


class Copied(NamedTuple):
    """A line (index) that plays a hand's figure literally in bars `first` to `last` (indices).

    `notes` are printed notes of the entry, `stave` counts from 1 through the original, `span` is
    the greatest distance of two tones in one bar in semitones, `rate` the mean tones a second.
    """

    line: int
    figure: Figure
    first: int
    last: int
    stave: int
    notes: tuple[str, ...]
    span: int
    rate: float

    @property
    def bars(self) -> int:
        """For how many bars it goes on."""
        return self.last - self.first + 1


def copied_figures(analysis: Analysis) -> tuple[Copied, ...]:
    """Return the figures copied from the keyboard, in order of line and bar.

    Bars that follow each other are one figure, named after its boldest bar. Empty without an
    original.
    """
    return analysis.remember(_copied_figures)


def unsuited(copied: Copied, instrument: str) -> bool:
    """Whether a figure lies badly on an instrument (id)."""
    return instrument in UNSUITED[copied.figure]


def _copied_figures(analysis: Analysis) -> tuple[Copied, ...]:
    both = beside(analysis)
    if both is None:
        return ()
    played: dict[tuple[int, int], list[int]] = defaultdict(list)
    for at, tone in enumerate(analysis.playing.tones):
        if not tone.unpitched and tone.stop > tone.start and not tone.continued:
            played[tone.line, tone.bar].append(at)
    found = (
        one
        for (line, bar), tones in sorted(played.items())
        for one in _in_bar(both, line, bar, tones)
    )
    return tuple(_joined(found))


def _in_bar(both: Beside, line: int, bar: int, at: Sequence[int]) -> Iterator[Copied]:
    tones = [both.playing.tones[one] for one in at]
    single = len({tone.start for tone in tones}) == len(tones)
    if len(tones) < LEAST_TONES or not single:
        return
    stave = _copied_stave(both, bar, at)
    figure = figure_of(tones) if stave else None
    if figure is not None:
        pitches = [tone.midi for tone in tones]
        yield Copied(
            line,
            figure,
            bar,
            bar,
            stave,
            tuple(note for tone in tones for note in tone.notes),
            round(max(pitches) - min(pitches)),
            _rate(tones),
        )


def _copied_stave(both: Beside, bar: int, at: Sequence[int]) -> int:
    """Return the stave of the original that a line copies in a bar, 0 if it copies none."""
    votes = Counter(
        (both.match.source[one.source].stave, one.octave_shift)
        for tone in at
        for one in both.match.sources_of.get(tone, ())
        if _same_moment(both, bar, tone, one.source)
    )
    if not votes:
        return 0
    (stave, shift), _ = max(votes.items(), key=lambda item: (item[1], item[0]))
    copied = {
        tone
        for tone in at
        for one in both.match.sources_of.get(tone, ())
        if both.match.source[one.source].stave == stave and one.octave_shift == shift
    }
    moments = {
        both.match.source[one].start
        for original in both.match.originals_of.get(bar, ())
        for one in both.by_bar.get(original, ())
        if both.match.source[one].stave == stave
    }
    nearly = len(copied) >= NEARLY_ALL * len(at) and len(copied) >= NEARLY_ALL * len(moments)
    return stave if nearly else 0


def _same_moment(both: Beside, bar: int, tone: int, source: int) -> bool:
    """Whether a tone begins as far into its bar as its source does into its own."""
    match, struck = both.match, both.match.source[source]
    here = (both.playing.tones[tone].start - both.entry.bars[bar].start) * (
        both.original.ticks_per_quarter
    )
    there = (struck.start - both.original.bars[struck.bar].start) * both.entry.ticks_per_quarter
    return match.augmentation != 1 or here == there


def figure_of(tones: Sequence[Tone]) -> Figure | None:
    """Return what kind of figure single tones in order of time are, None for none of these."""
    rate = _rate(tones)
    pitches = [round(tone.midi) for tone in tones]
    steps = [after - before for before, after in pairwise(pitches)]
    if rate < SLOWEST:
        return None
    turning = [a * b < 0 for a, b in pairwise(steps)]
    if all(turning) and all(abs(step) == 12 for step in steps):
        return Figure.OCTAVES
    if all(turning) and len(set(pitches)) == 2 and rate >= QUICK and abs(steps[0]) >= THIRD:
        return Figure.TREMOLO
    if _longest_climb(steps) >= TWO_OCTAVES:
        return Figure.ARPEGGIO
    leaps = sum(abs(step) >= LEAP for step in steps)
    if leaps >= 2 and max(pitches) - min(pitches) >= WIDE and any(turning):
        return Figure.LEAPING
    return Figure.CLOSE if 2 * sum(abs(step) >= THIRD for step in steps) > len(steps) else None


def _longest_climb(steps: Sequence[int]) -> int:
    """Return the widest way, up or down, made in thirds or more without turning, in semitones."""
    best = way = 0
    for step in steps:
        if abs(step) < THIRD:
            way = 0
        elif way * step > 0:
            way += step
        else:
            way = step
        best = max(best, abs(way))
    return best


def _rate(tones: Sequence[Tone]) -> float:
    seconds = tones[-1].stop_s - tones[0].start_s
    return len(tones) / seconds if seconds > 0 else 0.0


def _joined(found: Iterator[Copied]) -> Iterator[Copied]:
    """Join what a line copies from a stave in bars that follow each other."""
    run: Copied | None = None
    for one in found:
        if run and (run.line, run.stave, run.last) == (one.line, one.stave, one.first - 1):
            rate = (run.rate * run.bars + one.rate) / (run.bars + 1)
            run = run._replace(
                figure=min(run.figure, one.figure, key=list(Figure).index),
                last=one.last,
                notes=(*run.notes, *one.notes),
                span=max(run.span, one.span),
                rate=rate,
            )
            continue
        if run:
            yield run
        run = one
    if run:
        yield run
