"""Figures that are broken in another way than the hands break them.

A figure stands for the harmony that its pedal, or the ear, holds from one bass note to the next. If
a line goes through this harmony in another order, its tones come from all tones of their pitch
class in the figure, whenever these are struck. All numbers are ours.
"""

from dataclasses import replace
from typing import NamedTuple

import numpy as np

from redstave.original.bars import BarMap
from redstave.original.clock import Passage, instances
from redstave.original.following import around
from redstave.original.pairs import Pairs, possible
from redstave.original.sounding import Flags, Ints, Sounding

EXACTLY, THROUGH = 0.1, 0.75  # quarters between attacks, and share of a length, that are as one
SHORT = 0.51  # quarters that a tone of a figure lasts at most
FEWEST = 3  # tones of a figure in a bar
HITS, HITS_BEFORE, HITS_KNOWN = 0.8, 0.85, 2.0  # share of a line's tones that must come from some
FRESH = 2  # short tones in a bar that stand at other places than in the figure, at least
REWRITTEN = 0.3  # and their share of all that the line has there


class Roles(NamedTuple):
    """Which tones of the original belong to the bass, and which to figures."""

    bass: Flags
    figure: Flags


def refigured(
    entry: Sounding,
    original: Sounding,
    bars: BarMap,
    some: list[Passage],
    roles: Roles,
    linked: Pairs,
) -> Pairs:
    """Return pairs of figures with tones that break their harmonies in another way.

    `linked` are the pairs that are so anyway: where they leave no tone of a figure over, nobody has
    rewritten it.
    """
    ringing = _ringing(original, roles)
    carried = np.bincount(linked.source, minlength=original.midi.size) > 0
    carrying = np.bincount(linked.tone, minlength=entry.midi.size) > 0
    explained = _explained(entry, linked, ringing)
    free = np.flatnonzero(~explained)
    bar = entry.line * entry.bars + entry.bar
    beside = np.flatnonzero(np.isin(bar, bar[free]))
    held = _held_through(original, roles, ringing)
    tones, sources = _only(entry, beside), _only(held, np.flatnonzero(ringing))
    if not tones.midi.size or not sources.midi.size:
        return _none()
    pairs = possible(tones, sources, bars.transposition, some, instances(some, sources))
    pairs = replace(pairs, tone=beside[pairs.tone], source=np.flatnonzero(ringing)[pairs.source])
    pairs = pairs.of(pairs.shared >= 0.5 * pairs.tone_length)
    rings = np.bincount(pairs.tone, minlength=entry.line.size) > 0
    short = entry.stop - entry.start <= SHORT
    fresh = short & rings & ~explained & _believed(entry, carrying | rings)
    all_, new = (np.bincount(bar, flags, minlength=bar.max() + 1) for flags in (short, fresh))
    rewritten = (new >= np.maximum(FRESH, REWRITTEN * all_))[bar]
    missed = np.bincount(bar[pairs.tone[~carried[pairs.source]]], minlength=bar.max() + 1) > 0
    rewritten &= missed[bar]
    return pairs.of(
        (rewritten & fresh & ~carrying)[pairs.tone]
        | (rewritten & carrying)[pairs.tone] & ~carried[pairs.source],
    )


def _explained(entry: Sounding, linked: Pairs, ringing: Flags) -> Flags:
    """Tell which tones need no figure to come from.

    They are struck with their source, or have a held one that nobody plays as it stands.
    """
    together = np.abs(linked.late) < EXACTLY
    through = together & (linked.shared >= THROUGH * linked.source_length)
    as_it_stands = np.bincount(linked.source, through, minlength=ringing.size) > 0
    explained = np.zeros(entry.line.size, dtype=np.bool_)
    explained[linked.tone[together | ~(ringing | as_it_stands)[linked.source]]] = True
    return explained


def _ringing(original: Sounding, roles: Roles) -> Flags:
    """Tell which tones belong to broken chords: short ones in bars in which a figure is played."""
    short = (original.stop > original.start) & (original.stop - original.start <= SHORT)
    many = np.bincount(original.bar, roles.figure & short, minlength=original.bars) >= FEWEST
    ringing: Flags = short & (roles.figure | roles.bass) & many[original.bar]
    return ringing


def _held_through(original: Sounding, roles: Roles, ringing: Flags) -> Sounding:
    """Let what rings last from one bass note to the next of another name, or to the barline.

    The last note of a bar, low as it may lie, begins no harmony.
    """
    last = original.end[original.bar] - original.start <= SHORT
    bass = np.flatnonzero(roles.bass & ringing & ~last)
    other = np.diff(original.pitch_class[bass], prepend=-1) != 0
    borders = np.unique(np.concatenate([original.begin, original.end, original.start[bass[other]]]))
    at = np.searchsorted(borders, original.start + 1e-6, side="right") - 1
    stop = borders[np.minimum(at + 1, borders.size - 1)]
    return replace(
        original,
        start=np.where(ringing, borders[at], original.start),
        stop=np.where(ringing, np.maximum(stop, original.stop), original.stop),
    )


def _believed(entry: Sounding, from_some: Flags) -> Flags:
    """Tell which tones have a line around that comes from the original nearly always."""
    line, bar = entry.line, entry.bar
    met, every = (
        around(line, bar, own, entry.bars)[line, bar] - own
        for own in (from_some.astype(np.float64), np.ones(line.size))
    )
    believed: Flags = (met + HITS_BEFORE * HITS_KNOWN) / (every + HITS_KNOWN) >= HITS
    return believed


def _only(of: Sounding, at: Ints) -> Sounding:
    """Return some of the tones."""
    return replace(
        of,
        tone=of.tone[at],
        bar=of.bar[at],
        start=of.start[at],
        stop=of.stop[at],
        midi=of.midi[at],
        line=of.line[at],
    )


def _none() -> Pairs:
    whole, times = np.zeros(0, dtype=np.int64), np.zeros(0)
    return Pairs(whole, whole, whole, times, times, times, times, times)
