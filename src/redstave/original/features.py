"""What bars sound like, as vectors whose product tells how much two of them have in common.

Three things are compared: which pitch classes sound, and for how long; which sound in each eighth
of the bar; and where in the bar tones are struck. A pitch class counts once however many play it,
so that doublings and octaves make no difference, and positions are relative to the length of the
bar, so that note values make none. Pitch classes and attacks are the usual features for matching
performances and scores; the weights are ours.
"""

from dataclasses import dataclass

import numpy as np

from redstave.original.sounding import Flags, Floats, Sounding

SLOTS, EIGHTHS = 24, 8  # the finest grid in a bar, and the one on which harmonies are compared
WHOLE, PLACED, STRUCK = 0.4, 0.35, 0.25  # weights of the three, which add up to 1
SHORTEST = 0.5  # slots for which a note counts at least, a grace note too


@dataclass(frozen=True)
class Raster:
    """What sounds when: `sounds` [bars, SLOTS, 12], 0 to 1, and `struck` [bars, SLOTS]."""

    sounds: Floats
    struck: Floats

    @classmethod
    def of(cls, tones: Sounding) -> "Raster":
        """Return a score on a grid of SLOTS to the bar."""
        slots = tones.bars * SLOTS
        start, stop = _slots(tones)
        steps = np.zeros((slots + 2) * 12)
        for place, sign in ((start, 1.0), (stop, -1.0)):
            at = np.clip(place, 0.0, slots)
            slot = at.astype(np.int64)
            for by, weight in ((0, slot + 1.0 - at), (1, at - slot)):
                key = (slot + by) * 12 + tones.pitch_class
                steps += np.bincount(key, sign * weight, minlength=steps.size)
        sounds = np.cumsum(steps.reshape(-1, 12), axis=0)[:slots]
        at = np.clip(np.rint(start), 0, max(0, slots - 1)).astype(np.int64)
        struck = np.sqrt(np.bincount(at, minlength=slots)[:slots])
        return cls(
            np.clip(sounds, 0.0, 1.0).reshape(tones.bars, SLOTS, 12),
            struck.reshape(tones.bars, SLOTS),
        )

    @property
    def silent(self) -> Flags:
        """Which bars are silent [bars]."""
        silent: Flags = self.sounds.sum(axis=(1, 2)) <= 0.0
        return silent


def _slots(tones: Sounding) -> tuple[Floats, Floats]:
    """Return where tones start and stop, in slots counted through the bars."""
    stops_in = np.searchsorted(tones.begin, tones.stop, side="left") - 1
    start = _slot(tones, tones.start, tones.bar)
    stop = _slot(tones, tones.stop, np.clip(stops_in, 0, tones.bars - 1))
    return start, np.maximum(stop, start + SHORTEST)


def _slot(tones: Sounding, when: Floats, bar: "np.ndarray") -> Floats:
    inside = (when - tones.begin[bar]) / np.maximum(tones.length[bar], 1e-9)
    placed: Floats = (bar + np.clip(inside, 0.0, 1.0)) * SLOTS
    return placed


def features(of: Raster, bars: int = 1) -> Floats:
    """Return a vector for each run of so many bars [runs, features].

    The product of two vectors is 1 for what sounds the same and 0 for what has nothing in common.
    The last feature is 1 for silence.
    """
    count = of.sounds.shape[0] - bars + 1
    if count < 1:
        return np.zeros((0, 12 * (1 + EIGHTHS) + SLOTS + 1))
    sounds = np.concatenate([of.sounds[at : at + count] for at in range(bars)], axis=1)
    struck = np.concatenate([of.struck[at : at + count] for at in range(bars)], axis=1)
    placed = sounds.reshape(count, EIGHTHS, -1, 12).mean(axis=2)
    struck = struck.reshape(count, SLOTS, bars).sum(axis=2)
    silent = (sounds.sum(axis=(1, 2)) <= 0.0).astype(np.float64)
    return np.concatenate(
        [
            _unit(sounds.mean(axis=1), WHOLE),
            _unit(placed.reshape(count, -1), PLACED),
            _unit(struck, STRUCK),
            silent[:, None],
        ],
        axis=1,
    )


def transposed(vectors: Floats, up: int) -> Floats:
    """Return the vectors of the same bars `up` semitones higher."""
    chords = vectors[:, : 12 * (1 + EIGHTHS)].reshape(len(vectors), 1 + EIGHTHS, 12)
    moved = np.roll(chords, up, axis=2).reshape(len(vectors), 12 * (1 + EIGHTHS))
    return np.concatenate([moved, vectors[:, 12 * (1 + EIGHTHS) :]], axis=1)


def _unit(block: Floats, weight: float) -> Floats:
    """Scale rows so that the product of equal ones is `weight`."""
    size = np.linalg.norm(block, axis=1, keepdims=True)
    scaled: Floats = block * np.sqrt(weight) / np.where(size > 0.0, size, 1.0)
    return scaled
