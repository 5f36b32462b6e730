"""Tones of the piano piece that sound in no octave where the entry comes to them."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import NamedTuple

from redstave.analysis import Analysis
from redstave.model.role import Role
from redstave.original.beside import Beside, beside
from redstave.original.threads import gaps, thread

MOST_OF_IT = 0.7  # of the longer of two tones: they stand for one another (ours)
BEGUN = 2  # tones: a longer silence of the tune is a broken thread, not a lost tone


class Lost(NamedTuple):
    """Tones of one voice that are missing in a bar (index) of the entry.

    `tones` index `Match.source`; `voice` is "tune", "bass" or "harmony"; `share` is how many of
    the pitch classes that the piano sounds in the bar are missing there.
    """

    bar: int
    voice: str
    tones: tuple[int, ...]
    share: float


class Altered(NamedTuple):
    """In a bar (index) of the entry a tone of it stands a semitone beside that of the piano.

    `source` indexes `Match.source`, `tone` indexes `Playing.tones`.
    """

    bar: int
    source: int
    tone: int


def lost_tones(analysis: Analysis, least_quarters: float) -> Iterator[Lost]:
    """Yield what is missing, bar by bar, of tones that last so many quarters or more.

    A tone whose pitch class sounds anywhere in the bar is not missing, nor is one that was altered,
    lies in a longer silence of the tune, or in bars that are only begun. Nothing without an
    original.
    """
    both = beside(analysis)
    if both is None:
        return
    silent = {(one.bar, one.source) for one in altered_tones(analysis)}
    silent |= {
        (strand.bar, strand.source)
        for gap in gaps(analysis, thread(analysis, Role.TUNE))
        if len(gap.strands) >= BEGUN
        for strand in gap.strands
    }
    begun = {bar for first, last in both.match.unfinished for bar in range(first, last + 1)}
    least = least_quarters * both.original.ticks_per_quarter
    for bar, originals in sorted(both.match.originals_of.items()):
        there = [
            at
            for original in originals
            if original not in begun
            for at in both.by_bar.get(original, ())
            if both.match.source[at].stop - both.match.source[at].start >= least
        ]
        gone = [
            at
            for at in there
            if not both.carriers_in(at, bar)
            and not both.sounds(at, bar)
            and (bar, at) not in silent
        ]
        yield from _by_voice(both, bar, gone, there)


def altered_tones(analysis: Analysis) -> Iterator[Altered]:
    """Yield the tones of the piano that nobody plays, but somebody a semitone beside.

    The other tone comes from no tone of the piano and sounds for most of the same time. Nothing
    without an original, or where note values were changed.
    """
    both = beside(analysis)
    if both is None or both.match.augmentation != 1:
        return
    added: dict[int, list[int]] = defaultdict(list)
    for at in both.match.added:
        added[both.playing.tones[at].bar].append(at)
    for bar, originals in sorted(both.match.originals_of.items()):
        for original in originals:
            for at in both.by_bar.get(original, ()):
                if not both.sounds(at, bar):
                    yield from _beside_it(both, bar, original, at, added[bar])


def _beside_it(
    both: Beside, bar: int, original: int, source: int, added: Sequence[int]
) -> Iterator[Altered]:
    """Yield the added tones (indices) of a bar that stand for a source tone."""
    tone = both.match.source[source]
    scale = both.entry.ticks_per_quarter / both.original.ticks_per_quarter
    begin = both.entry.bars[bar].start + (tone.start - both.original.bars[original].start) * scale
    end = begin + (tone.stop - tone.start) * scale
    for at in added:
        other = both.playing.tones[at]
        apart = (round(other.midi) - both.match.transposition - tone.midi) % 12
        together = min(end, other.stop) - max(begin, other.start)
        longer = max(end - begin, other.stop - other.start)
        if apart in (1, 11) and together > MOST_OF_IT * longer:
            yield Altered(bar, source, at)


def _by_voice(both: Beside, bar: int, gone: list[int], there: list[int]) -> Iterator[Lost]:
    missing = {both.match.source[at].midi % 12 for at in gone}
    all_ = {both.match.source[at].midi % 12 for at in there}
    voices: dict[str, list[int]] = defaultdict(list)
    for at in gone:
        role = both.match.voices[both.match.source[at].voice].role
        voices[{Role.TUNE: "tune", Role.BASS: "bass"}.get(role, "harmony")].append(at)
    for voice, tones in voices.items():
        yield Lost(bar, voice, tuple(tones), len(missing) / len(all_))


def missing_runs(both: Beside) -> tuple[tuple[int, ...], ...]:
    """Return the stretches of the original (bars as indices) that have no bar of the entry.

    Bars without notes do not count. Nor do stretches in whose place the entry has bars that were
    not found in the original: these may be the same music, much changed.
    """
    missing = [bar for bar in range(len(both.original.bars)) if bar not in both.match.entry_bars_of]
    runs = [
        tuple(bar for _, bar in group)
        for _, group in groupby(enumerate(missing), key=lambda item: item[1] - item[0])
    ]
    return tuple(
        run for run in runs if any(bar in both.by_bar for bar in run) and not _filled(both, run)
    )


def _filled(both: Beside, run: Sequence[int]) -> bool:
    first, last = around(both, run)
    strange = [bar for bar in range(first, last + 1) if bar not in both.match.originals_of]
    return bool(strange)


def around(both: Beside, run: Sequence[int]) -> tuple[int, int]:
    """Return the bars of the entry (indices) where a stretch is, or between which it would be."""
    of = both.match.entry_bars_of
    there = [entry for bar in run for entry in of.get(bar, ())]
    if there:
        return min(there), max(there)
    before = [entries[-1] for bar, entries in of.items() if bar < run[0]]
    after = [entries[0] for bar, entries in of.items() if bar > run[-1]]
    first = max(before, default=0)
    last = len(both.entry.bars) - 1
    return first, max(first, min((one for one in after if one >= first), default=last))
