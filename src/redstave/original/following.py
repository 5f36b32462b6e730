"""Which of its possible sources each tone comes from, seen from what its line does around.

A tone may stand at several octaves from sources of its pitch class. What speaks for one of these
ways: that both are struck together, that the source sounds through all of the tone, that they lie
near each other, and that the line follows this voice at this octave in the bars around. All numbers
are ours, set on pairs with known links (docs/evidence.md).
"""

from dataclasses import dataclass

import numpy as np

from redstave.original.pairs import Pairs
from redstave.original.sounding import Flags, Floats, Ints, Sounding

SAME = 0.01  # quarters by which times may differ and be the same
TOGETHER = 0.2  # quarters by which two attacks may differ, about, and still be one
ITSELF = 0.15  # for a tone that is its source in pitch, attack and length
COVERED, FOLLOWED, STRUCK_AGAIN = 0.7, 1.5, 0.7
APART = np.array([0.0, 0.2, 0.5, 0.9, 1.3])  # what each octave between the two takes off
AROUND = (0.5, 1.0, 0.5)  # weights of the bar before, the bar itself, and the bar after
QUICK = 0.26  # quarters of a stroke in a tremolo or shake at most
MOST_OCTAVES = 9
TIMES = 3  # how often it is asked again what lines follow, once it is known what tones are


@dataclass(frozen=True)
class Ways:
    """What tones may be: a row for each tone and octave, an entry a row.

    `pair` is the best pair of the row, and `of_pair` [pairs] the row of each pair. `struck` and
    `covered` (0 to 1) tell whether tone and source begin together and how much of the tone the
    source sounds through; `real` is false where they only stand near each other. `followed`
    (0 to 1) tells how far the line follows this voice at this octave, `worth` sums everything up,
    and `best` marks one way for each tone.
    """

    tone: Ints
    octave: Ints
    pair: Ints
    of_pair: Ints
    struck: Floats
    covered: Floats
    real: Flags
    followed: Floats
    worth: Floats
    best: Flags


def ways(entry: Sounding, pairs: Pairs, stream: Ints) -> Ways:
    """Weigh everything that tones may be; `stream` numbers the voice of each source."""
    key = pairs.tone * (2 * MOST_OCTAVES + 1) + _octave(pairs.octave)
    keys, of_pair = np.unique(key, return_inverse=True)
    again = _struck_again(entry)[pairs.tone] & (pairs.late > 0.0)
    near = np.exp(-np.abs(pairs.late) / TOGETHER)
    near = np.where(pairs.sounds, np.maximum(near, STRUCK_AGAIN * again), 0.5 * near)
    shared = np.where(pairs.sounds, np.maximum(pairs.shared, 0.0), 0.0)
    order = np.lexsort((-(near + shared), of_pair))
    pair = order[np.searchsorted(of_pair[order], np.arange(keys.size))]
    length = np.maximum(pairs.tone_length[pair], 1e-6)
    covered = np.minimum(1.0, np.bincount(of_pair, shared, minlength=keys.size) / length)
    struck = near[pair]
    octave = pairs.octave[pair]
    apart = APART[np.minimum(np.abs(octave), APART.size - 1)]
    alone = struck + COVERED * covered - apart + ITSELF * _itself(pairs)[pair]
    tone = pairs.tone[pair]
    weight = np.where(struck > 0.5, 1.0, 0.5 * covered)
    best = np.ones(keys.size, dtype=np.bool_)
    followed = np.zeros(keys.size)
    worth = np.zeros(keys.size)
    for _ in range(TIMES):
        followed[:] = _following(entry, tone, octave, stream[pairs.source[pair]], weight, best)
        worth[:] = alone + FOLLOWED * followed
        best = best_of(tone, worth)
    real = np.bincount(of_pair, pairs.sounds, minlength=keys.size) > 0
    return Ways(tone, octave, pair, of_pair, struck, covered, real, followed, worth, best)


def _itself(pairs: Pairs) -> Flags:
    """Tell which pairs are one tone in every respect."""
    longer = np.abs(pairs.tone_length - pairs.source_length)
    itself: Flags = (pairs.octave == 0) & (np.abs(pairs.late) < SAME) & (longer < SAME)
    return itself


def _octave(octave: Ints) -> Ints:
    return np.clip(octave, -MOST_OCTAVES, MOST_OCTAVES) + MOST_OCTAVES


def _struck_again(entry: Sounding) -> Flags:
    """Tell which tones go on from one of their line on their own pitch, or come back in tremolo."""
    found = np.zeros(entry.midi.size, dtype=np.bool_)
    order = np.lexsort((entry.start, entry.midi, entry.line))
    before, after = order[:-1], order[1:]
    length = entry.stop[after] - entry.start[after]
    between = np.where(length <= QUICK, length, 0.0)  # of a tremolo, the other stroke
    found[after] = (
        (entry.line[before] == entry.line[after])
        & (entry.midi[before] == entry.midi[after])
        & (entry.start[after] - entry.stop[before] > -1e-6)
        & (entry.start[after] - entry.stop[before] < between + 1e-6)
    )
    return found


def _following(
    entry: Sounding, tone: Ints, octave: Ints, stream: Ints, weight: Floats, best: Flags
) -> Floats:
    """Return for each way how much its line follows that voice at that octave around: 0 to 1.

    The best ways of the other tones count, and for each way its own: else what was best once would
    be so for ever.
    """
    line, bar = entry.line[tone], entry.bar[tone]
    streams = int(stream.max(initial=0)) + 1
    key = (line * streams + stream) * (2 * MOST_OCTAVES + 1) + _octave(octave)
    _, row = np.unique(key, return_inverse=True)
    together = around(row, bar, np.where(best, weight, 0.0), entry.bars)[row, bar]
    together += np.where(best, 0.0, weight)
    attack = np.stack([entry.line, entry.bar, np.rint(entry.start * 96.0).astype(np.int64)])
    lines, bars, _ = np.unique(attack, axis=1)
    attacks = around(lines, bars, np.ones(lines.size), entry.bars)[line, bar]
    followed: Floats = np.minimum(1.0, together / (attacks + 0.5))
    return followed


def around(row: Ints, bar: Ints, weight: Floats, bars: int) -> Floats:
    """Return sums by row and bar, with those of the bars beside them [rows, bars]."""
    rows = int(row.max(initial=-1)) + 1
    table = np.zeros((rows, bars))
    table += np.bincount(row * bars + bar, weight, minlength=table.size).reshape(rows, bars)
    found: Floats = AROUND[1] * table
    found[:, 1:] += AROUND[0] * table[:, :-1]
    found[:, :-1] += AROUND[2] * table[:, 1:]
    return found


def best_of(tone: Ints, worth: Floats) -> Flags:
    """Mark the best way of each tone."""
    order = np.lexsort((-worth, tone))
    best = np.zeros(tone.size, dtype=np.bool_)
    best[order[np.diff(tone[order], prepend=-1) > 0]] = True
    return best
