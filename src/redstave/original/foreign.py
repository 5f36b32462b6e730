"""Tones of the entry that are foreign to the harmony of the piano piece at that place."""

from collections import defaultdict
from collections.abc import Iterator
from typing import NamedTuple

from redstave.analysis import Analysis
from redstave.model.match import SourceTone
from redstave.original.beside import Beside, beside
from redstave.original.lost import altered_tones


class Foreign(NamedTuple):
    """A tone (index) of a line (index) that the piano does not have near there.

    `against` is a pitch of the piano, as it would sound in the entry, a semitone away and sounding
    at the same time.
    """

    tone: int
    line: int
    midi: float
    against: float
    notes: tuple[str, ...]


def foreign_tones(analysis: Analysis, least_quarters: float) -> Iterator[Foreign]:
    """Yield the foreign tones that last so many quarters or more; nothing without an original.

    Those that stand for a tone of the piano, altered by a semitone, are left out.
    """
    both = beside(analysis)
    if both is None:
        return
    least = least_quarters * both.entry.ticks_per_quarter
    sounding = _by_bar(both)
    altered = {one.tone for one in altered_tones(analysis)}
    for at in both.match.added:
        tone = both.playing.tones[at]
        originals = both.match.originals_of.get(tone.bar, ())
        if at in altered or tone.unpitched or not originals or tone.stop - tone.start < least:
            continue
        near = {
            one.midi % 12
            for bar in range(originals[0] - 1, originals[-1] + 2)
            for one in sounding.get(bar, ())
        }
        pitch = round(tone.midi) - both.match.transposition
        if pitch % 12 in near:
            continue
        at_once = _at_once(both, at, originals[0], sounding, least_quarters)
        close = [one for one in at_once if (one.midi - pitch) % 12 in (1, 11)]
        if close:
            nearest = min(close, key=lambda one: abs(one.midi - pitch))
            against = nearest.midi + both.match.transposition
            yield Foreign(at, tone.line, tone.midi, against, tone.notes)


def _by_bar(both: Beside) -> dict[int, list[SourceTone]]:
    """Return the source tones that sound in each bar (index) of the original."""
    found: dict[int, list[SourceTone]] = defaultdict(list)
    for tone in both.match.source:
        last = both.original.bar_at(max(tone.start, tone.stop - 1))
        for bar in range(tone.bar, last + 1):
            found[bar].append(tone)
    return found


def _at_once(
    both: Beside,
    at: int,
    original: int,
    sounding: dict[int, list[SourceTone]],
    least_quarters: float,
) -> list[SourceTone]:
    """Return the source tones that sound for so long together with a tone of the entry, in its bar.

    Where note values were changed, all of the bar count.
    """
    tone, bar = both.playing.tones[at], both.original.bars[original]
    if both.match.augmentation != 1:
        return sounding.get(original, [])
    scale = both.original.ticks_per_quarter / both.entry.ticks_per_quarter
    begin = bar.start + (tone.start - both.entry.bars[tone.bar].start) * scale
    end = begin + (tone.stop - tone.start) * scale
    least = least_quarters * both.original.ticks_per_quarter
    return [
        one
        for one in sounding.get(original, [])
        if min(end, one.stop) - max(begin, one.start) >= least
    ]
