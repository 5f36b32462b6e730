"""How tones render their sources: plainly, held, repeated, in tremolo, broken, moved."""

from collections.abc import Sequence

import numpy as np

from redstave.model.match import Manner
from redstave.original.following import QUICK
from redstave.original.pairs import Pairs
from redstave.original.sounding import Floats, Ints, Sounding

TOGETHER = 0.125  # quarters between two attacks that are one (ours, as are all below)
LONGER = 1.9  # how much longer than its source a held tone is
FINE = 96  # parts of a quarter within which times are the same
OFTEN = 4  # strokes that make a tremolo


def manners(entry: Sounding, pairs: Pairs, kept: Ints, techniques: Sequence[str]) -> list[Manner]:
    """Return the manner of each of the pairs `kept` (indices).

    `techniques` are those of the tones the entry was made from.
    """
    source, tone = pairs.source[kept], pairs.tone[kept]
    late, length = pairs.late[kept], pairs.tone_length[kept]
    line = entry.line[tone]
    strokes = _count(np.stack([source, line, entry.midi[tone]]))
    held = _count(np.stack([tone, pairs.octave[kept]]))
    chord = _partners(line, pairs.source_start[kept], source, entry.start[tone])
    marked = np.array([techniques[at] == "tremolo" for at in entry.tone[tone].tolist()], np.bool_)
    quick = (length <= QUICK) & (strokes + chord >= OFTEN)
    found = np.full(kept.size, Manner.PLAIN, dtype=object)
    apart = np.abs(late) > TOGETHER
    found[apart] = Manner.MOVED
    found[apart & (late > 0) & pairs.sounds[kept]] = Manner.REPEATED
    longer = (length >= LONGER * pairs.source_length[kept]) & (pairs.source_length[kept] > 0)
    found[longer | (held > 1) & (length > pairs.source_length[kept])] = Manner.HELD
    found[strokes > 1] = Manner.REPEATED
    found[(chord > 1) & (length < 0.75 * pairs.source_length[kept])] = Manner.BROKEN
    found[marked | (quick & ((strokes > 1) | (chord > 1)))] = Manner.TREMOLO
    return list(found)


def _count(rows: Ints) -> Ints:
    """Return for each column how many columns equal it."""
    number = _numbered(rows)
    count: Ints = np.bincount(number)[number]
    return count


def _numbered(rows: Ints) -> Ints:
    """Return a number for each column, equal for equal ones."""
    number: Ints = np.unique(rows, axis=1, return_inverse=True)[1].reshape(-1)
    return number


def _partners(line: Ints, when: Floats, source: Ints, start: Floats) -> Ints:
    """Return how many sources of one chord a line strikes one at a time; 1 where it does not.

    `when` is the time of the source, `start` that of the tone.
    """
    struck = np.rint(start * FINE).astype(np.int64)
    chord = _numbered(np.stack([line, np.rint(when * FINE).astype(np.int64)]))
    moment = _numbered(np.stack([chord, struck]))
    one_at_a_time = (_distinct(moment, source) == 1) & (_distinct(chord, struck) > 1)
    return np.where(one_at_a_time, _distinct(chord, source), 1)


def _distinct(group: Ints, value: Ints) -> Ints:
    """Return for each entry how many distinct values its group has."""
    pairs = np.unique(np.stack([group, value]), axis=1)
    distinct: Ints = np.bincount(pairs[0])[group]
    return distinct
