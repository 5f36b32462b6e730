"""Which tone of the entry comes from which tone of the original, what is lost, what is new.

A tone belongs to one pitch of the original at a time, and to every source of that pitch that sounds
through it: a held tone to all the repeated ones, a repeated one to the one held. A source is left
out when nothing follows it, though its pitch class sounds somewhere else; unless it was an octave
doubling that the entry has dropped as such for some time, or one that only fills a chord in which
its pitch class is struck, or a line has gone over to it.
"""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from redstave.model.match import Carrier, Manner
from redstave.model.role import Role
from redstave.original.bars import BarMap
from redstave.original.clock import instances, passages
from redstave.original.following import TOGETHER, Ways, around, ways
from redstave.original.manner import manners
from redstave.original.octaves import in_order, octaves
from redstave.original.pairs import EXACT, Pairs, possible
from redstave.original.refigured import Roles, refigured
from redstave.original.sounding import Flags, Floats, Ints, Sounding
from redstave.original.trust import STRUCK, passing, second_best, trusted

JUST_BESIDE = 0.25  # quarters between a tone and a source that has others, for both to be one
KEPT_UP = 0.5  # share of a voice carried by itself around, from which on a lack is a lack
GONE_OVER = 0.5  # by how much a line's other way may be better, and it still goes over
SOUNDING = 0.6  # share of a dropped voice's tones that must sound in some octave
EXACTLY, THROUGH = 0.1, 0.75  # quarters between attacks, and share of a length, that are as one
TOUCHED = 0.5  # share of a source that must sound to be played by what was made from others
SEVERAL = 1.0
RANKS = 4
REFIGURED = 0.4  # how sure it is that a tone breaks a figure in another way
FINE = 96  # parts of a quarter within which times are the same


class NoteMap(NamedTuple):
    """Carriers, and what is left over on both sides.

    Sources are positions among the pitched tones of the original, tones indices of Playing.tones.
    """

    carriers: tuple[Carrier, ...]
    left_out: tuple[int, ...]
    added: tuple[int, ...]


def note_map(
    entry: Sounding,
    original: Sounding,
    bars: BarMap,
    voice: Ints,
    roles: Sequence[Role],
    techniques: Sequence[str],
) -> NoteMap:
    """Match the tones of matched bars.

    `voice` numbers the voice of each source, `roles` are those of the voices, `techniques` those of
    the entry's tones.
    """
    some = passages(bars)
    pairs = possible(entry, original, bars.transposition, some, instances(some, original))
    if not pairs.tone.size:
        return NoteMap((), tuple(range(original.midi.size)), tuple(entry.tone.tolist()))
    tune, bass, figure = (
        np.array([role is one for role in roles], dtype=np.bool_)[voice]
        for one in (Role.TUNE, Role.BASS, Role.FIGURE)
    )
    stream = voice * RANKS + ranks(original, voice, tune)
    known = ways(entry, pairs, stream)
    linked = _linked(entry, original, pairs, known, stream, bass | figure)
    linked = in_order(entry, pairs, linked, octaves(original, voice))
    more = _doubled(original, pairs, known, linked, stream, tune, bass)
    sure = _sureness(pairs, known, more)
    linked |= more
    kept = np.flatnonzero(linked)
    how = manners(entry, pairs, kept, techniques)
    as_it_is = pairs.of(kept)
    others = refigured(entry, original, bars, some, Roles(bass, figure), as_it_is)
    carriers = _carriers(entry, as_it_is, how, sure[kept])
    moved = [Manner.MOVED] * others.tone.size
    carriers += _carriers(entry, others, moved, np.full(others.tone.size, REFIGURED))
    source = np.concatenate([as_it_is.source, others.source])
    tone = np.concatenate([as_it_is.tone, others.tone])
    lost = np.bincount(source, minlength=original.midi.size) == 0
    new = np.bincount(tone, minlength=entry.midi.size) == 0
    return NoteMap(carriers, tuple(np.flatnonzero(lost).tolist()), tuple(entry.tone[new].tolist()))


def _carriers(
    entry: Sounding, pairs: Pairs, how: Sequence[Manner], sure: Floats
) -> tuple[Carrier, ...]:
    return tuple(
        Carrier(source, tone, octave, manner, round(confidence, 3))
        for source, tone, octave, manner, confidence in zip(
            pairs.source.tolist(),
            entry.tone[pairs.tone].tolist(),
            pairs.octave.tolist(),
            how,
            sure.tolist(),
            strict=True,
        )
    )


def _linked(
    entry: Sounding,
    original: Sounding,
    pairs: Pairs,
    known: Ways,
    stream: Ints,
    broken: Flags,
) -> Flags:
    """Return the pairs that the best way of each tone stands for."""
    believed = trusted(entry, known)
    firm = believed & ~passing(entry, pairs, known, broken)
    likely = believed & known.real | known.best & (known.struck > STRUCK)
    nearest = np.zeros(pairs.tone.size, dtype=np.bool_)
    nearest[known.pair[~known.real]] = True
    sounding = _without_unisons(pairs, known, firm[known.of_pair] & pairs.sounds, stream)
    carried = np.bincount(pairs.source[sounding], minlength=stream.size) > 0
    wanted = ~carried[pairs.source]
    missed = wanted & pairs.sounds & likely[known.of_pair]
    wanted &= ~_octave_doubled(original, stream, carried)[pairs.source]
    beside = believed[known.of_pair] & nearest & (wanted | _just_beside(entry, pairs))
    linked: Flags = sounding | missed | beside
    linked &= ~_touched(pairs, linked, stream.size)[pairs.source]
    return linked | second_best(entry, pairs, known, linked)


def _touched(pairs: Pairs, linked: Flags, sources: int) -> Flags:
    """Tell which sources are only touched, after they began, by tones that begin with others."""
    together = np.abs(pairs.late) < EXACTLY
    of_others = np.bincount(pairs.tone[linked & together], minlength=int(pairs.tone.max()) + 1) > 0
    own = linked & (together | ~of_others[pairs.tone])
    shared = np.bincount(pairs.source, linked * np.maximum(pairs.shared, 0.0), minlength=sources)
    length = np.zeros(sources)
    length[pairs.source] = pairs.source_length
    has_own = np.bincount(pairs.source[own], minlength=sources) > 0
    touched: Flags = ~has_own & (shared < TOUCHED * length)
    return touched


def _just_beside(entry: Sounding, pairs: Pairs) -> Flags:
    """Tell which pairs are so near that both are one, however quick the notes around are."""
    shorter = np.minimum(pairs.tone_length, pairs.source_length)
    grace = (entry.stop <= entry.start)[pairs.tone]
    beside: Flags = np.abs(pairs.late) < np.where(
        grace, JUST_BESIDE, np.minimum(JUST_BESIDE, 0.5 * shorter)
    )
    return beside


def _without_unisons(pairs: Pairs, known: Ways, linked: Flags, stream: Ints) -> Flags:
    """Give a tone to one voice where two meet on a pitch, if the other has somebody else."""
    lead = np.zeros(int(pairs.tone.max()) + 1, dtype=np.int64)
    lead[known.tone[known.best]] = known.pair[known.best]
    first = lead[pairs.tone]
    stop = pairs.source_start + pairs.source_length
    other = (
        linked
        & (stream[pairs.source] != stream[pairs.source[first]])
        & (pairs.source_start < stop[first] - EXACT)
        & (stop > pairs.source_start[first] + EXACT)
    )
    kept: Flags = linked & ~other
    carried = np.bincount(pairs.source[kept], minlength=stream.size) > 0
    alone: Flags = other & ~carried[pairs.source]
    return kept | alone


def _doubled(
    original: Sounding,
    pairs: Pairs,
    known: Ways,
    linked: Flags,
    stream: Ints,
    tune: Flags,
    bass: Flags,
) -> Flags:
    """Return pairs by which sources without a follower are carried all the same.

    Their pitch class sounds in another octave, and either the voice is not kept up by itself
    around (it was a doubling, dropped as such, which the top of a tune never is), or a line could
    as well belong to it.
    """
    carried = np.bincount(pairs.source[linked], minlength=stream.size) > 0
    open_ = pairs.sounds & ~carried[pairs.source] & ~linked
    heard = carried.copy()
    heard[pairs.source[open_]] = True
    dropped = _kept_up(original, stream, carried) < KEPT_UP
    dropped &= _share_around(stream, original, heard, ~carried) >= SOUNDING
    dropped &= ~_touched(pairs, linked | open_, stream.size)
    highest, lowest = _outer(original)
    dropped &= ~(tune & highest)
    dropped |= _octave_doubled(original, stream, carried)
    dropped |= ~(tune | bass | highest | lowest) & _same_struck(original, pairs, linked)
    chosen = np.zeros(int(pairs.tone.max()) + 1)
    chosen[known.tone[known.best]] = known.worth[known.best]
    worse = chosen[pairs.tone] - known.worth[known.of_pair]
    together = np.abs(pairs.late) < TOGETHER
    found: Flags = open_ & (
        dropped[pairs.source] | (together & (worse <= GONE_OVER)) | _through(pairs)
    )
    nearest = np.full(stream.size, np.inf)
    np.minimum.at(nearest, pairs.source[found], worse[found])
    return found & (worse <= nearest[pairs.source] + 0.25)


def _octave_doubled(original: Sounding, stream: Ints, carried: Flags) -> Flags:
    """Tell which sources only double, in octaves, one of their voice that is carried."""
    keys = np.stack([stream // RANKS, original.pitch_class, *_moments(original)])
    chord = np.unique(keys, axis=1, return_inverse=True)[1].reshape(-1)
    return ~carried & (np.bincount(chord, carried) > 0)[chord]


def _same_struck(original: Sounding, pairs: Pairs, linked: Flags) -> Flags:
    """Tell which sources are struck with one of their pitch class that is played, and are not.

    They only fill the chord, unless they are the tune or the bass, or lie highest or lowest in it.
    """
    struck = linked & (np.abs(pairs.late) < EXACTLY)
    played = np.bincount(pairs.source[struck], minlength=original.midi.size) > 0
    key = _struck_at(original) * 12 + original.pitch_class
    same: Flags = ~played & (np.bincount(key, played) > 0)[key]
    return same


def _outer(original: Sounding) -> tuple[Flags, Flags]:
    """Tell which sources are highest of all that is struck with them, and which lowest."""
    chord = _struck_at(original)
    chords = int(chord.max(initial=0)) + 1
    highest, lowest = np.zeros(chords, np.int64), np.full(chords, 128)
    np.maximum.at(highest, chord, original.midi)
    np.minimum.at(lowest, chord, original.midi)
    return original.midi == highest[chord], original.midi == lowest[chord]


def _struck_at(original: Sounding) -> Ints:
    """Return a number for each source, equal for what is struck at once."""
    number: Ints = np.unique(_moments(original)[0], return_inverse=True)[1].reshape(-1)
    return number


def _moments(original: Sounding) -> tuple[Ints, Ints]:
    start, stop = (
        np.rint(when * FINE).astype(np.int64) for when in (original.start, original.stop)
    )
    return start, stop


def _through(pairs: Pairs) -> Flags:
    """Tell which sources sound at their own pitch for as long as they last."""
    early = pairs.late < EXACTLY
    through: Flags = early & (pairs.octave == 0) & (pairs.shared >= THROUGH * pairs.source_length)
    return through


def _kept_up(original: Sounding, stream: Ints, carried: Flags) -> Floats:
    """Return how much of its stream is carried around each source, itself left out: 0 to 1.

    Where the stream strikes the same pitch several times around, only those count.
    """
    pitch = np.unique(np.stack([stream, original.midi]), axis=1, return_inverse=True)[1].reshape(-1)
    everything = np.ones(stream.size, dtype=np.bool_)
    count = _count_around(pitch, original, everything)
    narrow = _share_around(pitch, original, carried, everything)
    wide = _share_around(stream, original, carried, everything)
    return np.where(count >= SEVERAL, narrow, wide)


def _share_around(row: Ints, original: Sounding, flags: Flags, of: Flags) -> Floats:
    """Return the share of flagged ones among the others `of` its row around each source."""
    there = _count_around(row, original, of)
    flagged = _count_around(row, original, of & flags)
    share: Floats = np.where(there > 0.25, flagged / np.maximum(there, 0.25), 0.0)
    return share


def _count_around(row: Ints, original: Sounding, of: Flags) -> Floats:
    own = of.astype(np.float64)
    count: Floats = around(row, original.bar, own, original.bars)[row, original.bar] - own
    return count


def _sureness(pairs: Pairs, known: Ways, doubled: Flags) -> Floats:
    """Return how sure each pair is, 0 to 1: a sum of what speaks for it, no chance."""
    at = known.of_pair
    sure = 0.3 + 0.3 * known.struck[at] + 0.2 * known.covered[at] + 0.2 * known.followed[at]
    sure = np.where(pairs.sounds, sure, 0.5 * sure)
    found: Floats = np.where(doubled, 0.5 * sure, sure)
    return found


def ranks(original: Sounding, voice: Ints, downwards: Flags) -> Ints:
    """Return for each tone how many of its voice and pitch class are struck with it lower down.

    Those flagged are counted downwards: who plays a tune goes on with the top of its octaves.
    """
    columns = (
        np.where(downwards, -original.midi, original.midi),
        original.pitch_class,
        voice,
        original.start,
    )
    order = np.lexsort(columns)
    fresh = np.zeros(order.size, dtype=np.bool_)
    for column in columns[1:]:
        fresh |= np.diff(column[order], prepend=np.nan) != 0
    at = np.arange(order.size)
    found = np.zeros(order.size, dtype=np.int64)
    found[order] = np.minimum(RANKS - 1, at - np.maximum.accumulate(np.where(fresh, at, 0)))
    return found
