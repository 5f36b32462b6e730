"""Pairs in which one side is told by signs what the other plays: ottava lines, cues, tremolo.

All go through files (`paper`), so that the signs are read as those of any file are. What sounds is
known exactly: under an ottava line the pitches that are an octave or two away from what is printed;
no cue at all; and of a tremolo between two chords both, all through its time. Tones struck again
and again by a tremolo are one tone, whether by strokes or written out: each stroke comes from it.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from random import Random

from benchmarks.pairing.engraving import beside, by_hands, engraved
from benchmarks.pairing.page import CUE, SINGLE, START, STOP, Sound
from benchmarks.pairing.pair import Kind, Pair, paired, sources, straight
from benchmarks.pairing.paper import Ottava, printed
from benchmarks.pairing.scoring import Way, plain, repeated, scored, tremolo, voices
from redstave.model.score import Score

DOUBLED = Way(doubled=True, moved=False, dresses=(plain,))
MEASURED = Way(doubled=True, moved=False, dresses=(tremolo, repeated))
HIGHEST, LOWEST = 108, 21  # the keys of a piano
OFTEN = 0.5  # in how many bars there is tremolo, or a cue


def ottava_lines(original: Score, random: Random) -> Pair:
    """Put passages of the hands an octave or two away and print them where they were, under a line.

    The entry is scored from what sounds.
    """
    lines: list[Ottava] = []
    sounds = by_hands(sources(original))
    for first in range(0, len(original.bars) - 3, 4):
        if random.random() < OFTEN:
            hand, octaves = random.choice((("Piano/1", 1), ("Piano/1", 2), ("Piano/2", -1)))
            last = first + random.randrange(3)
            sounds = _moved(sounds, original, Ottava(hand, first, last, octaves))
            lines.append(Ottava(hand, first, last, octaves))
    lengths = [bar.length for bar in original.bars]
    new, _ = printed("", sounds, lengths, original.ticks_per_quarter, lines)
    return paired("", new, scored(new, sources(new), DOUBLED, random), straight(new))


def _moved(sounds: Iterable[Sound], original: Score, line: Ottava) -> list[Sound]:
    """Move what begins under a line, where the keyboard has room."""
    bars = original.bars
    begin, end = bars[line.first].start, bars[line.last].start + bars[line.last].length
    return [
        one._replace(midi=one.midi + 12 * line.octaves)
        if one.player == line.player
        and begin <= one.start < end
        and LOWEST <= one.midi + 12 * line.octaves <= HIGHEST
        else one
        for one in sounds
    ]


def cues(original: Score, random: Random) -> Pair:
    """Print the tune as a cue for others, in bars too in which nobody plays it."""
    everything = sources(original)
    tune = {one.at for one in voices(everything)["tune"]}
    cued = {bar.index for bar in original.bars if random.random() < OFTEN}
    silent = {bar for bar in cued if random.random() < OFTEN}
    kept = [one for one in everything if not (one.at in tune and one.bar in silent)]
    small = [
        Sound("Trumpet", one.start, one.stop, one.midi, frozenset((one.at,)), sign=CUE)
        for one in everything
        if one.at in tune and one.bar in cued and one.stop > one.start
    ]
    sounds = [*scored(original, kept, DOUBLED, random), *small]
    return paired("", original, sounds, straight(original), writer=printed)


def strokes_held(original: Score, random: Random) -> Pair:
    """Play in tremolo, by strokes, what the players hold."""
    return _by_strokes(original, DOUBLED, random)


def strokes_measured(original: Score, random: Random) -> Pair:
    """Play in tremolo, by strokes, what the players strike again in sixteenths or eighths."""
    return _by_strokes(original, MEASURED, random)


def _by_strokes(original: Score, way: Way, random: Random) -> Pair:
    hands = _shaken(by_hands(sources(original)), original, random)
    lengths = [bar.length for bar in original.bars]
    new = engraved(hands, lengths, original.ticks_per_quarter, printed)
    pair = paired(
        "", original, scored(original, sources(original), way, random), straight(original)
    )
    return beside(pair, new, pair.bars)


def strokes_in_entry(original: Score, random: Random) -> Pair:
    """Play in tremolo, by strokes, what the hands hold."""
    sounds = _shaken(scored(original, sources(original), DOUBLED, random), original, random)
    return paired("", original, sounds, straight(original), writer=printed)


def _shaken(sounds: Iterable[Sound], original: Score, random: Random) -> list[Sound]:
    """Play chords and notes of a quarter or longer in tremolo: chords between low and high."""
    shaken = [random.random() < OFTEN for _ in original.bars]
    chords: dict[tuple[str, int, int], list[Sound]] = defaultdict(list)
    for one in sounds:
        chords[one.player, one.start, one.stop].append(one)
    found: list[Sound] = []
    for (_, start, stop), chord in chords.items():
        bar = original.bar_at(start)
        inside = stop <= original.bars[bar].start + original.bars[bar].length
        long = stop - start >= original.ticks_per_quarter and (stop - start) % 2 == 0
        found += _in_tremolo(chord) if shaken[bar] and inside and long else chord
    return found


def _in_tremolo(chord: Sequence[Sound]) -> list[Sound]:
    low, *high = sorted(chord, key=lambda one: one.midi)
    if not high:
        return [low._replace(sign=SINGLE)]
    return [low._replace(sign=START), *(one._replace(sign=STOP) for one in high)]


SIGNS: dict[str, Kind] = {
    "ottava lines": ottava_lines,
    "cues in the entry": cues,
    "piano tremolo by strokes, held": strokes_held,
    "piano tremolo by strokes, measured": strokes_measured,
    "tremolo by strokes in the entry": strokes_in_entry,
}
