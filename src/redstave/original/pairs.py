"""Every pair of tones that could be source and carrier: one pitch class, near enough in time."""

from dataclasses import dataclass

import numpy as np

from redstave.original.clock import Instances, Passage
from redstave.original.sounding import Flags, Floats, Ints, Sounding

GRACE = 0.125  # quarters before the beat in which a grace note is thought to sound
NEAR_GRACE = 0.25  # for a grace note, which is struck or is not there
SMALL = 0.25  # quarters of a note on the beat that may be what the original writes as a grace note
NEAR = 1.0  # quarters between two tones of which one may still be the other, moved
STRUCK = 0.01  # quarters between two attacks that are one
EXACT = 1e-6


@dataclass(frozen=True)
class Pairs:
    """Possible pairs, an entry a pair.

    `source` and `tone` index the arrays of original and entry. `octave` is how many octaves the
    tone lies above the source. In quarters of the entry: `late` is how much later the tone begins,
    `shared` how long both sound (negative: how long neither does in between), `source_length` and
    `tone_length` how long each sounds.
    """

    source: Ints
    tone: Ints
    octave: Ints
    late: Floats
    shared: Floats
    source_start: Floats
    source_length: Floats
    tone_length: Floats

    @property
    def sounds(self) -> Flags:
        """Which pairs sound together, for half of the shorter of the two at least."""
        shorter = np.minimum(self.source_length, self.tone_length)
        return self.shared >= 0.5 * shorter - EXACT

    def of(self, some: Flags | Ints) -> "Pairs":
        """Return some of the pairs, by flags or positions."""
        return Pairs(
            self.source[some],
            self.tone[some],
            self.octave[some],
            self.late[some],
            self.shared[some],
            self.source_start[some],
            self.source_length[some],
            self.tone_length[some],
        )


def possible(
    entry: Sounding,
    original: Sounding,
    up: int,
    some: list[Passage],
    there: Instances,
) -> Pairs:
    """Return every possible pair; of several places of a source the one nearest to the tone."""
    begin, end = _lasting(entry.start, entry.stop)
    source_begin, source_end = _lasting(there.start, there.stop)
    here_row, here_key = _touched(entry, begin, end, entry.pitch_class)
    source_class = (original.midi[there.tone] + up) % 12
    there_row, there_key = _touched(entry, source_begin, source_end, source_class)
    one, other = _joined(here_key, there_key)
    tone, instance = here_row[one], there_row[other]
    late = begin[tone] - source_begin[instance]
    grace = (there.stop <= there.start)[instance]
    on_the_beat = grace & (end[tone] - begin[tone] <= SMALL)
    until = np.minimum(end[tone], source_end[instance] + np.where(on_the_beat, GRACE, 0.0))
    shared = until - np.maximum(begin[tone], source_begin[instance])
    inside = _inside(entry, some, tone, there.passage[instance])
    kept = (shared > -NEAR) & inside & ~(grace & (np.abs(late) > NEAR_GRACE))
    tone, instance, shared = tone[kept], instance[kept], shared[kept]
    source = there.tone[instance]
    key = tone * max(1, original.midi.size) + source
    order = np.lexsort((-shared, key))
    first = order[np.concatenate([[True], np.diff(key[order]) > 0])] if key.size else order
    tone, instance, source, shared = tone[first], instance[first], source[first], shared[first]
    found = Pairs(
        source,
        tone,
        (entry.midi[tone] - up - original.midi[source]) // 12,
        begin[tone] - source_begin[instance],
        shared,
        source_begin[instance],
        source_end[instance] - source_begin[instance],
        end[tone] - begin[tone],
    )
    graces = (original.stop <= original.start)[source] & (entry.stop > entry.start)[tone]
    return found.of(~_struck_otherwise(found, graces)) if graces.any() else found


def _struck_otherwise(pairs: Pairs, graces: Flags) -> Flags:
    """Tell which pairs with grace notes have a tone that is struck as another source at its octave.

    If it only goes on to where the grace note is, it does not play that too.
    """
    columns = np.stack([pairs.tone, pairs.octave])
    key = np.unique(columns, axis=1, return_inverse=True)[1].reshape(-1)
    struck = np.bincount(key, ~graces & (np.abs(pairs.late) < STRUCK)) > 0
    otherwise: Flags = graces & struck[key]
    return otherwise


def _lasting(start: Floats, stop: Floats) -> tuple[Floats, Floats]:
    """Return when tones sound; grace notes sound just before the beat."""
    grace = stop <= start
    return np.where(grace, start - GRACE, start), np.where(grace, start, stop)


def _touched(entry: Sounding, begin: Floats, end: Floats, pitch_class: Ints) -> tuple[Ints, Ints]:
    """Return a row for each bar of the entry near which each tone sounds: tone and (bar, class)."""
    first = np.searchsorted(entry.begin, begin - NEAR / 2, side="right") - 1
    last = np.searchsorted(entry.begin, end + NEAR / 2, side="left") - 1
    first = np.clip(first, 0, entry.bars - 1)
    count = np.clip(last, first, entry.bars - 1) - first + 1
    row = np.repeat(np.arange(begin.size), count)
    within = np.arange(row.size) - np.repeat(np.cumsum(count) - count, count)
    return row, (first[row] + within) * 12 + pitch_class[row]


def _joined(one: Ints, other: Ints) -> tuple[Ints, Ints]:
    """Return all pairs of positions with equal keys."""
    order = np.argsort(other, kind="stable")
    low = np.searchsorted(other[order], one, side="left")
    count = np.searchsorted(other[order], one, side="right") - low
    first = np.repeat(np.arange(one.size), count)
    within = np.arange(first.size) - np.repeat(np.cumsum(count) - count, count)
    return first, order[np.repeat(low, count) + within]


def _inside(entry: Sounding, some: list[Passage], tone: Ints, passage: Ints) -> Flags:
    """Tell which tones begin in the bars of a passage, or sound into them."""
    if not some:
        return np.zeros(tone.size, dtype=np.bool_)
    first = np.array([one.here[0] for one in some])
    last = np.array([one.here[-1] for one in some])
    begins, ends = entry.start[tone], np.maximum(entry.stop[tone], entry.start[tone] + GRACE)
    found: Flags = (begins < last[passage] - 1e-6) & (ends > first[passage] + 1e-6)
    return found
