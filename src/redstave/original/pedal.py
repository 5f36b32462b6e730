"""Where the pianist's pedal holds a broken harmony, and whether anybody in the entry holds it.

A bar of the original is pedalled where a pedal mark covers it, or where a word has asked for pedal
and none has taken it back. Its harmony is broken where a stave strikes single short tones one after
another, mostly a third or more apart.
"""

import re
from collections import defaultdict
from collections.abc import Iterator, Sequence
from itertools import groupby, pairwise

from redstave.analysis import Analysis
from redstave.model.line import Tone
from redstave.model.match import SourceTone
from redstave.model.role import Role
from redstave.model.score import Score
from redstave.original.beside import Beside, beside

LEAST_TONES = 4  # in a bar, struck one after another
LONGEST_QUARTERS = 1.0  # longer tones need no pedal
THIRD = 3  # semitones
AS_LONG = 1.5  # a tone longer than so many times its source is held, not sung
RINGING = frozenset({"harp", "piano", "celesta", "vibraphone", "harpsichord", "tubular-bells"})
SUSTAINING = frozenset({"", "tremolo", "mute", "sul-ponticello", "sul-tasto", "harmonic"})

_WORD = re.compile(r"\bped\b|\bpedale?\b|\bped\.", re.IGNORECASE)
_WITHOUT = re.compile(r"\b(senza|without|ohne|sans|no)\s+ped", re.IGNORECASE)


def pedalled(original: Score) -> frozenset[int]:
    """Return the bars (indices) of a piano piece in which the pedal is asked for."""
    found: set[int] = set()
    for part in original.parts:
        for span in part.spans_of("pedal"):
            if span.start is not None:
                last = span.stop.bar if span.stop is not None else span.start.bar
                found.update(range(span.start.bar, last + 1))
        words = [mark for mark in part.marks_of("word") if _WORD.search(mark.text)]
        for at, mark in enumerate(words):
            if not _WITHOUT.search(mark.text):
                until = words[at + 1].bar if at + 1 < len(words) else len(original.bars)
                found.update(range(mark.bar, max(until, mark.bar + 1)))
    return frozenset(found)


def unheld(analysis: Analysis) -> tuple[tuple[int, int], ...]:
    """Return the runs of bars (first, last) of the entry in which nobody holds what the pedal did.

    Empty without an original.
    """
    return analysis.remember(_unheld)


def _unheld(analysis: Analysis) -> tuple[tuple[int, int], ...]:
    both = beside(analysis)
    if both is None:
        return ()
    under = pedalled(both.original)
    bars = [
        bar
        for bar, originals in sorted(both.match.originals_of.items())
        if any(one in under and _broken(both, one) for one in originals)
        and not _held(analysis, both, bar)
    ]
    return tuple(_runs(bars))


def _broken(both: Beside, bar: int) -> bool:
    """Whether a stave of the original breaks chords in a bar (index)."""
    by_stave: dict[int, list[SourceTone]] = defaultdict(list)
    for at in both.by_bar.get(bar, ()):
        tone = both.match.source[at]
        by_stave[tone.stave].append(tone)
    return any(_breaks(both, tones) for tones in by_stave.values())


def _breaks(both: Beside, tones: Sequence[SourceTone]) -> bool:
    """Whether the tones of a stave in a bar, in order of time, are a broken chord."""
    longest = LONGEST_QUARTERS * both.original.ticks_per_quarter
    moments = {tone.start: tone.midi for tone in tones}
    steps = [abs(after - before) for before, after in pairwise(moments.values())]
    return (
        len(moments) >= LEAST_TONES
        and len(tones) - len(moments) <= 2
        and all(tone.stop - tone.start <= longest for tone in tones)
        and 2 * sum(step >= THIRD for step in steps) > len(steps)
    )


def _held(analysis: Analysis, both: Beside, bar: int) -> bool:
    """Whether a tone of the bar, the tune apart, is held for half of it or rings on."""
    begin, length = both.entry.bars[bar].start, both.entry.bars[bar].length
    for at, tone in _tones_in(both, begin, begin + length):
        inside = min(tone.stop, begin + length) - max(tone.start, begin)
        holds = tone.technique in SUSTAINING and 2 * inside >= length
        rings = analysis.playing.lines[tone.line].instrument in RINGING
        if (holds or rings) and not _is_tune(both, at):
            return True
    return False


def _tones_in(both: Beside, begin: int, end: int) -> Iterator[tuple[int, Tone]]:
    for at, tone in enumerate(both.playing.tones):
        if tone.start >= end:
            return
        if tone.stop > begin and not tone.unpitched:
            yield at, tone


def _is_tune(both: Beside, tone: int) -> bool:
    """Whether a tone (index) of the entry is one of the tune, in its octave and as long as there.

    What is held longer, or lies in another octave, fills the harmony as well.
    """
    scale = both.original.ticks_per_quarter / both.entry.ticks_per_quarter
    length = (both.playing.tones[tone].stop - both.playing.tones[tone].start) * scale
    return any(
        one.octave_shift == 0
        and both.match.voices[source.voice].role is Role.TUNE
        and length <= AS_LONG * (source.stop - source.start) * float(both.match.augmentation)
        for one in both.match.sources_of.get(tone, ())
        for source in (both.match.source[one.source],)
    )


def _runs(bars: list[int]) -> Iterator[tuple[int, int]]:
    for _, group in groupby(enumerate(bars), key=lambda item: item[1] - item[0]):
        run = [bar for _, bar in group]
        yield run[0], run[-1]
