"""Piano music invented by rule: harmonies, a tune, and the figures of the keyboard under it."""

from collections.abc import Callable
from random import Random
from typing import NamedTuple

from benchmarks.pairing.page import Sound, written
from redstave.model.score import Score

QUARTER = 24
MAJOR = (0, 2, 4, 5, 7, 9, 11)
CHAINS = ((0, 3, 4, 0), (0, 5, 3, 4), (0, 4, 5, 2), (3, 0, 4, 0), (5, 1, 4, 0), (0, 1, 4, 5))
UPPER, LOWER = "Piano/1", "Piano/2"


class Harmony(NamedTuple):
    """One harmony: where it sounds (ticks), its degree and the tonic of its key."""

    start: int
    length: int
    degree: int
    tonic: int

    def pitch(self, step: int) -> int:
        """Return a step of the key counted from the root of the harmony, near middle C."""
        octave, degree = divmod(self.degree + step, 7)
        return 60 + (self.tonic + 5) % 12 - 5 + MAJOR[degree] + 12 * octave

    def chord(self, low: int, notes: int = 3) -> list[int]:
        """Return so many notes of the chord from a MIDI number upwards."""
        classes = {self.pitch(step) % 12 for step in (0, 2, 4)}
        return [midi for midi in range(low, low + 40) if midi % 12 in classes][:notes]


def piece(seed: int, bars: int = 48) -> Score:
    """Return a piano piece on two staves; the same seed, the same piece."""
    random = Random(f"piece {seed}")
    beats = random.choice((3, 4, 4, 2))
    length = beats * QUARTER
    tonic = random.randrange(12)
    sounds: list[Sound] = []
    for first in range(0, bars, 8):
        tonic = (tonic + random.choice((0, 0, 7, 5, 9))) % 12
        under = random.choice(UNDER)
        over = random.choice(OVER)
        for bar in range(first, min(first + 8, bars)):
            degree = random.choice(CHAINS)[bar % 4]
            harmony = Harmony(bar * length, length, degree, tonic)
            sounds += under(harmony, random)
            sounds += over(harmony, random)
    return written(f"invented {seed}", sounds, [length] * bars, QUARTER)[0]


def _tune(harmony: Harmony, random: Random, low: int = 0) -> list[Sound]:
    """Sing a tune: mostly steps."""
    sounds, tick = [], harmony.start
    step = random.choice((0, 2, 4)) + low
    while tick < harmony.start + harmony.length:
        left = harmony.start + harmony.length - tick
        kinds = (QUARTER // 2, QUARTER // 2, QUARTER, QUARTER, 3 * QUARTER // 2, 2 * QUARTER)
        value = min(left, random.choice(kinds))
        sounds.append(Sound(UPPER, tick, tick + value, harmony.pitch(step) + 12))
        tick += value
        step = max(low - 3, min(low + 7, step + random.choice((-2, -1, -1, 1, 1, 2, 3))))
    return sounds


def _in_octaves(harmony: Harmony, random: Random) -> list[Sound]:
    tune = _tune(harmony, random)
    return [*tune, *(one._replace(midi=one.midi - 12) for one in tune)]


def _in_thirds(harmony: Harmony, random: Random) -> list[Sound]:
    tune = _tune(harmony, random)
    lower = []
    for one in tune:
        below = max(m for m in range(one.midi - 5, one.midi - 2) if _fits(harmony, m))
        lower.append(one._replace(midi=below))
    return [*tune, *lower]


def _over_chord(harmony: Harmony, random: Random) -> list[Sound]:
    inner = harmony.chord(60, 2)
    stop = harmony.start + harmony.length
    return [*_tune(harmony, random, 2), *(Sound(UPPER, harmony.start, stop, m) for m in inner)]


def _fits(harmony: Harmony, midi: int) -> bool:
    return (midi - harmony.tonic) % 12 in MAJOR


def _alberti(harmony: Harmony, _: Random) -> list[Sound]:
    low, middle, high = harmony.chord(46)
    return _run(harmony, (low, high, middle, high))


def _wide(harmony: Harmony, _: Random) -> list[Sound]:
    root = harmony.chord(36, 1)[0]
    return _run(harmony, [root, *harmony.chord(root + 6, 3), *harmony.chord(root + 15, 2)])


def _run(harmony: Harmony, pitches: list[int] | tuple[int, ...]) -> list[Sound]:
    """Eighth notes going through some pitches, up and down again."""
    around = [*pitches, *reversed(pitches[1:-1])] if len(pitches) > 4 else list(pitches)
    half = QUARTER // 2
    return [
        Sound(LOWER, tick, tick + half, around[at % len(around)])
        for at, tick in enumerate(range(harmony.start, harmony.start + harmony.length, half))
    ]


def _off_beats(harmony: Harmony, _: Random) -> list[Sound]:
    """Strike a bass note on the first beat, chords on the others."""
    bass = harmony.chord(36, 1)[0]
    sounds = [Sound(LOWER, harmony.start, harmony.start + QUARTER, bass)]
    for tick in range(harmony.start + QUARTER, harmony.start + harmony.length, QUARTER):
        sounds += [Sound(LOWER, tick, tick + QUARTER, midi) for midi in harmony.chord(48)]
    return sounds


def _octaves(harmony: Harmony, random: Random) -> list[Sound]:
    bass = harmony.chord(36, 2)
    sounds = []
    for tick in range(harmony.start, harmony.start + harmony.length, QUARTER):
        midi = random.choice(bass)
        sounds += [Sound(LOWER, tick, tick + QUARTER, midi + by) for by in (0, 12)]
    return sounds


def _held(harmony: Harmony, _: Random) -> list[Sound]:
    stop = harmony.start + harmony.length
    return [Sound(LOWER, harmony.start, stop, midi) for midi in harmony.chord(43, 4)]


Hand = Callable[[Harmony, Random], list[Sound]]
OVER: tuple[Hand, ...] = (_tune, _tune, _in_octaves, _in_thirds, _over_chord)
UNDER: tuple[Hand, ...] = (_alberti, _wide, _off_beats, _octaves, _held)
