"""Voices of the original that run in octaves, and who plays which of their tones.

The hands double a voice in octaves where an orchestra has other means. If as many octaves are
played as are written, by one line or by all that follow the voice, then the lowest is the lowest
and the highest the highest, whichever pitches they now have.
"""

from dataclasses import dataclass

import numpy as np

from redstave.original.pairs import Pairs
from redstave.original.sounding import Flags, Ints, Sounding

FINE = 96  # parts of a quarter within which times are the same


@dataclass(frozen=True)
class Octaves:
    """What is struck and left together on one pitch class of a voice: a chord of octaves.

    `chord` numbers the chord of each source, `place` (0 the lowest) is its place in it, and
    `written` [chords] counts the octaves.
    """

    chord: Ints
    place: Ints
    written: Ints


def octaves(original: Sounding, voice: Ints) -> Octaves:
    """Gather the tones of an original by chords of octaves; most stand alone."""
    start, stop = (
        np.rint(when * FINE).astype(np.int64) for when in (original.start, original.stop)
    )
    chord = _numbered(voice, original.pitch_class, start, stop)
    place, written = _places(chord, original.midi)
    return Octaves(chord, place, written)


def in_order(entry: Sounding, pairs: Pairs, linked: Flags, known: Octaves) -> Flags:
    """Return the pairs that are linked when octaves keep their order."""
    lines = entry.line[pairs.tone]
    for line in (lines, np.zeros_like(lines)):
        linked = _ordered(entry, pairs, linked, known, line)
    return linked


def _ordered(entry: Sounding, pairs: Pairs, linked: Flags, known: Octaves, line: Ints) -> Flags:
    """Put the tones of each line in order, where it plays as many octaves as are written."""
    chord = known.chord[pairs.source]
    at = np.flatnonzero(linked & (known.written[chord] > 1))
    group = _numbered(line[at], chord[at])
    place, played = _places(group, entry.midi[pairs.tone[at]])
    _, there = _places(group, known.place[pairs.source[at]])
    wanted = known.written[chord[at]]
    wrong = (played[group] == wanted) & (there[group] < wanted)
    key = pairs.tone * known.written.size + chord
    keys, first = np.unique(key[at[wrong]], return_index=True)
    found = np.minimum(np.searchsorted(keys, key), max(0, keys.size - 1))
    moved = np.isin(key, keys)
    if not moved.any():
        return linked
    right = known.place[pairs.source] == place[wrong][first][found]
    return np.where(moved, right & pairs.sounds, linked)


def _places(group: Ints, pitch: Ints) -> tuple[Ints, Ints]:
    """Return the place of each pitch among those of its group, and how many each group has."""
    both, number = np.unique(np.stack([group, pitch]), axis=1, return_inverse=True)
    count = np.bincount(both[0])
    place = np.arange(both.shape[1]) - (np.cumsum(count) - count)[both[0]]
    return place[number.reshape(-1)], count


def _numbered(*columns: Ints) -> Ints:
    number: Ints = np.unique(np.stack(columns), axis=1, return_inverse=True)[1].reshape(-1)
    return number
