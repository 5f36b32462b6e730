"""Find strands: tones of different lines that move together and are heard as one.

Two lines belong to one strand where they share at least three consecutive notes: the same pitch
class (unison or octave) struck at the same moment. Three, because a single shared note is often
chance: an accompaniment that touches the tune for a moment must not be judged as part of it.
Source of the rule: measured on annotated movements (docs/evidence.md); the number is ours.
"""

from collections import defaultdict
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csgraph, csr_array

from redstave.analysis.columns import Columns, columns, counted
from redstave.analysis.slices import Slices
from redstave.model.line import Line, Tone

Ints = NDArray[np.int64]

ONE_PLAYER = frozenset({"harp", "keyboard", "percussion"})
RUN = 3  # consecutive shared notes that make two lines one strand


class _Struck(NamedTuple):
    """The tones that are struck, an entry each: index, line, start, pitch class (-1 if none).

    `place` counts along the streams of the line: the highest notes of its chords, the second
    highest and so on; two places that follow each other in one stream differ by 1, others by more.
    """

    tone: Ints
    line: Ints
    start: Ints
    pitch_class: Ints
    place: Ints


class _Pairs(NamedTuple):
    """Pairs of struck tones, by their position in `_Struck`."""

    first: Ints
    second: Ints


def shared_tones(tones: Sequence[Tone], run: int = RUN) -> dict[int, frozenset[int]]:
    """Return for each tone (by index) the tones of other lines that double it in a run.

    The notes must be consecutive in both lines, so that a slow line which a figure touches on its
    way does not join it.
    """
    found: dict[int, list[int]] = defaultdict(list)
    for one, other in doubled_tones(tones, run).tolist():
        found[one].append(other)
    return {one: frozenset(others) for one, others in found.items()}


def doubled_tones(tones: Sequence[Tone], run: int = RUN) -> Ints:
    """Return the pairs of `shared_tones` [pairs, 2], each both ways; parts of a held tone too."""
    attack = columns(tones).attack
    struck = _struck(tones, np.flatnonzero(attack == np.arange(attack.size)))
    pairs = _both_ways(_in_runs(struck, _partners(struck), run), struck.tone.size)
    return _of_parts(
        np.stack([struck.tone[pairs.first], struck.tone[pairs.second]], axis=1), attack
    )


def _of_parts(pairs: Ints, attack: Ints) -> Ints:
    """Return pairs of struck tones as pairs of all their parts."""
    parts: dict[int, list[int]] = defaultdict(list)
    for part in np.flatnonzero(attack != np.arange(attack.size)).tolist():
        parts[int(attack[part])].append(part)
    if not parts:
        return pairs
    parted = np.isin(pairs, list(parts)).any(axis=1)
    more = [
        (here, there)
        for one, other in pairs[parted].tolist()
        for here in (one, *parts.get(one, ()))
        for there in (other, *parts.get(other, ()))
    ]
    return np.concatenate([pairs[~parted], np.array(more, dtype=np.int64).reshape(-1, 2)])


def _struck(tones: Sequence[Tone], index: Ints) -> _Struck:
    known = columns(tones)
    line, start, midi = known.line[index], known.start[index], known.midi[index]
    pitch_class = np.where(known.unpitched[index], -1, np.rint(midi).astype(np.int64) % 12)
    return _Struck(index, line, start, pitch_class, _places(line, start, midi))


def _places(line: Ints, start: Ints, midi: NDArray[np.float64]) -> Ints:
    """Return the place of each tone along its stream; see `_Struck`."""
    if line.size == 0:
        return line
    rank, place = np.empty_like(line), np.empty_like(line)
    chord = np.lexsort((-midi, start, line))
    rank[chord] = counted(_changes(line[chord]) | _changes(start[chord]))
    along = np.lexsort((start, rank, line))
    streams = np.cumsum(_changes(line[along]) | _changes(rank[along]))
    place[along] = np.arange(line.size) + streams
    return place


def _changes(values: Ints) -> NDArray[np.bool_]:
    """Tell for each value whether it differs from the one before; the first one does."""
    changes: NDArray[np.bool_] = np.ones(values.size, dtype=np.bool_)
    changes[1:] = values[1:] != values[:-1]
    return changes


def _partners(struck: _Struck) -> _Pairs:
    """Pair each tone with the tone of each other line that starts with it on its pitch class."""
    order = np.lexsort((struck.pitch_class, struck.start))
    order = order[struck.pitch_class[order] >= 0]
    if order.size == 0:
        return _Pairs(order, order)
    fresh = _changes(struck.start[order]) | _changes(struck.pitch_class[order])
    begins = np.flatnonzero(fresh)
    sizes = np.diff(begins, append=order.size)
    size = np.repeat(sizes, sizes)
    first = np.repeat(order, size)
    offset = np.arange(first.size) - np.repeat(np.cumsum(size) - size, size)
    second = order[np.repeat(np.repeat(begins, sizes), size) + offset]
    met = struck.line[first] != struck.line[second]
    return _last_of_each_line(struck, first[met], second[met])


def _last_of_each_line(struck: _Struck, first: Ints, second: Ints) -> _Pairs:
    """Keep one partner in each line: of two notes at once on one pitch class the last."""
    line = struck.line[second]
    order = np.lexsort((second, line, first))
    last = np.ones(order.size, dtype=np.bool_)
    same = (first[order][1:] == first[order][:-1]) & (line[order][1:] == line[order][:-1])
    last[:-1] = ~same
    kept = order[last]
    return _Pairs(first[kept], second[kept])


def _in_runs(struck: _Struck, pairs: _Pairs, run: int) -> _Pairs:
    """Keep the pairs that stand in runs of at least `run` along the stream of their first tone."""
    if pairs.first.size == 0:
        return pairs
    line, place = struck.line[pairs.second], struck.place[pairs.first]
    order = np.lexsort((place, line))
    fresh = _changes(line[order])
    fresh[1:] |= np.diff(place[order]) != 1
    number = np.cumsum(fresh) - 1
    kept = order[np.bincount(number)[number] >= run]
    return _Pairs(pairs.first[kept], pairs.second[kept])


def _both_ways(pairs: _Pairs, tones: int) -> _Pairs:
    """Keep the pairs that stand in a run of either line."""
    there = pairs.first * tones + pairs.second
    back = pairs.second * tones + pairs.first
    kept = np.isin(there, back)
    return _Pairs(pairs.first[kept], pairs.second[kept])


def hands(tones: Sequence[Tone], lines: Sequence[Line]) -> Ints:
    """Return for each tone whose hand plays it: tones of one hand in a slice are heard as one.

    All that a harp, a keyboard or a percussion player lets sound is one; so is what a string
    section strikes together, and a printed note that several players have ("a 2"). Otherwise winds
    on one stave are different players, each with a hand of his own. Hands are numbers, and mean
    nothing else.
    """
    known = columns(tones)
    struck = _first_of_each_note(known)
    line = known.line[struck]
    families = [one.family for one in lines]
    alone = np.array([family in ONE_PLAYER for family in families], dtype=np.bool_)[line]
    strings = np.array([family == "strings" for family in families], dtype=np.bool_)[line]
    start = np.where(alone, -1, known.start[struck])
    own = np.where(alone | strings, -1, struck)
    order = np.lexsort((own, start, line))
    fresh = _changes(line[order]) | _changes(start[order]) | _changes(own[order])
    hand = np.empty_like(order)
    hand[order] = np.cumsum(fresh)
    return hand


def _first_of_each_note(known: Columns) -> Ints:
    """Return for each tone the first tone of another line with the same printed note, else its own.

    Of parts of a held tone it is the one that was struck.
    """
    _, first, number = np.unique(known.note, return_index=True, return_inverse=True)
    others = first[number][known.attack]
    own: Ints = known.attack
    return np.where(known.line[others] == known.line[own], own, others)


def strand_of_rows(slices: Slices, doubled: Ints, played_by: Ints) -> Ints:
    """Return the strand of each row, numbered through the slices; equal numbers, one strand.

    See `doubled_tones` and `hands`.
    """
    rows = slices.row_tone.size
    one, other = _links(slices, doubled, played_by)
    links = csr_array((np.ones(one.size, np.int8), (one, other)), shape=(rows, rows))
    _, label = csgraph.connected_components(links, directed=False)
    _, first, number = np.unique(label, return_index=True, return_inverse=True)
    strand: Ints = np.argsort(np.argsort(first))[number].astype(np.int64)
    return strand


def _links(slices: Slices, doubled: Ints, played_by: Ints) -> tuple[Ints, Ints]:
    """Return pairs of rows of one slice that are heard as one, enough to join all such rows."""
    by_hand = _of_one_hand(slices, played_by)
    together = _doubled(slices, doubled)
    return np.concatenate([by_hand[0], together[0]]), np.concatenate([by_hand[1], together[1]])


def _of_one_hand(slices: Slices, played_by: Ints) -> tuple[Ints, Ints]:
    key = slices.row_slice * (int(played_by.max(initial=0)) + 1) + played_by[slices.row_tone]
    order = np.argsort(key, kind="stable")
    same = key[order][1:] == key[order][:-1]
    return order[:-1][same], order[1:][same]


def _doubled(slices: Slices, pairs: Ints) -> tuple[Ints, Ints]:
    """Return the rows of doubled tones with the rows of their doublings in the same slices."""
    one, other = pairs[pairs[:, 0] < pairs[:, 1]].T
    if slices.row_tone.size == 0:
        return one[:0], other[:0]
    order = np.lexsort((slices.row_slice, slices.row_tone))  # each tone's rows, slice by slice
    tones = int(max(slices.row_tone.max(), one.max(initial=0), other.max(initial=0))) + 1
    count = np.bincount(slices.row_tone, minlength=tones)
    begin = np.cumsum(count) - count
    first = np.zeros(tones, dtype=np.int64)
    first[slices.row_tone[order[begin[count > 0]]]] = slices.row_slice[order[begin[count > 0]]]
    low = np.maximum(first[one], first[other])
    high = np.minimum(first[one] + count[one], first[other] + count[other])
    length = np.maximum(high - low, 0)
    step = np.arange(length.sum()) - np.repeat(np.cumsum(length) - length, length)
    at = np.repeat(low, length) + step
    rows = [order[np.repeat(begin[who] - first[who], length) + at] for who in (one, other)]
    return rows[0], rows[1]
