"""Which tones are believed to come from what they may come from, seen from their lines around.

A line of its own meets the harmony by chance; a line made from the original nearly always. All
numbers are ours, set on pairs with known links (docs/evidence.md).
"""

import numpy as np

from redstave.original.following import QUICK, SAME, TOGETHER, Ways, around, best_of
from redstave.original.pairs import Pairs
from redstave.original.sounding import Flags, Floats, Sounding

HITS, HITS_BEFORE, HITS_KNOWN = 0.6, 0.85, 2.0  # share of hits that a line must have around
NEAR_HITS = 0.8  # for tones that stand only near a source
FOLLOWS = 1 / 3  # how far a line must follow a voice to be believed though it seldom hits
STRUCK, COVERED = 0.5, 0.5  # from which on tone and source begin together, or sound as one
ONE_ATTACK, THROUGH = 0.9, 0.75  # the same for what is one pitch
PASSING = 0.2  # how far a line must hold on, or follow, for what it holds to be no chance

STEP = 2  # semitones between the tones of a shake at most


def trusted(entry: Sounding, known: Ways) -> Flags:
    """Tell which ways are believed [ways].

    Who follows one voice at one octave much of the time is believed there, whatever comes between;
    and so is what the hands strike at its own pitch and hold as long, whatever its line does.
    """
    met = known.best & known.real
    around_it, others = _others(entry, known, _having(entry, known, met))
    share = (around_it + HITS_BEFORE * HITS_KNOWN) / (others + HITS_KNOWN)
    follows = (share >= HITS) | ((known.followed >= FOLLOWS) & (known.struck > STRUCK))
    follows |= (known.octave == 0) & (known.struck >= ONE_ATTACK) & (known.covered >= THROUGH)
    believed: Flags = known.best & np.where(known.real, follows, share >= NEAR_HITS)
    return believed


def passing(entry: Sounding, pairs: Pairs, known: Ways, broken: Flags) -> Flags:
    """Tell which ways meet a source only in passing [ways].

    They neither begin with it nor share much with it, nor do the tones of their line around. Who
    was there before the source waits for no note but those of a `broken` chord [sources].
    """
    weak = known.real & (known.struck <= STRUCK) & (known.covered < COVERED)
    around_it, others = _others(entry, known, _having(entry, known, known.best & weak))
    alone = weak & (around_it < PASSING * others) & (known.followed < PASSING)
    meant = pairs.sounds & ((pairs.late > -TOGETHER) | broken[pairs.source])
    free = np.bincount(pairs.tone[meant], minlength=entry.line.size) == 0
    early = weak & (free & ~_in_chord(entry))[known.tone]
    found: Flags = alone | early
    return found


def second_best(entry: Sounding, pairs: Pairs, known: Ways, linked: Flags) -> Flags:
    """Return pairs of tones that are struck with a source, but best follow one struck elsewhere.

    Where that other one does not come to them, they belong to the one they are struck with, if
    their line is made from the original.
    """
    carrying = np.bincount(pairs.tone[linked], minlength=entry.line.size) > 0
    astray = np.bincount(known.tone[known.best & ~known.real], minlength=entry.line.size) > 0
    struck = known.real & (known.struck >= ONE_ATTACK) & (astray & ~carrying)[known.tone]
    around_it, others = _others(entry, known, carrying)
    share = (around_it + HITS_BEFORE * HITS_KNOWN) / (others + HITS_KNOWN)
    believed = struck & (share >= HITS)
    nearest = np.zeros(pairs.tone.size, dtype=np.bool_)
    nearest[
        known.pair[best_of(known.tone, np.where(believed, known.worth, -np.inf)) & believed]
    ] = True
    return nearest


def _having(entry: Sounding, known: Ways, some: Flags) -> Flags:
    """Tell which tones have one of `some` ways."""
    having: Flags = np.bincount(known.tone[some], minlength=entry.line.size) > 0
    return having


def _others(entry: Sounding, known: Ways, met: Flags) -> tuple[Floats, Floats]:
    """Return how many other tones of the line around are `met`, and how many there are [ways].

    Neighbours that tones are shaken with count only where they are met.
    """
    one, other = (
        around(entry.line, entry.bar, own, entry.bars)[entry.line, entry.bar] - own
        for own in (met.astype(np.float64), (met | ~_shaken(entry)).astype(np.float64))
    )
    return one[known.tone], other[known.tone]


def _in_chord(entry: Sounding) -> Flags:
    """Tell which tones are struck with others of their line."""
    attack = np.stack([entry.line, np.rint(entry.start * 96.0).astype(np.int64)])
    number, count = np.unique(attack, axis=1, return_inverse=True, return_counts=True)[1:]
    chord: Flags = count[number.reshape(-1)] > 1
    return chord


def _shaken(entry: Sounding) -> Flags:
    """Tell which tones alternate quickly with a neighbour in their line, as in a written shake."""
    order = np.lexsort((entry.midi, entry.start, entry.line))
    before, here, after = order[:-2], order[1:-1], order[2:]
    quick = entry.stop - entry.start <= QUICK
    apart = np.abs(entry.midi[here] - entry.midi[before])
    found = np.zeros(order.size, dtype=np.bool_)
    found[here] = (
        (entry.line[before] == entry.line[after])
        & (entry.midi[before] == entry.midi[after])
        & (apart > 0)
        & (apart <= STEP)
        & quick[before]
        & quick[here]
        & (np.abs(entry.stop[before] - entry.start[here]) < SAME)
        & (np.abs(entry.stop[here] - entry.start[after]) < SAME)
    )
    return found
