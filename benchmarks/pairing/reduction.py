"""An orchestral movement played by two hands: what a reduction keeps, and what stands for what."""

from collections import defaultdict
from collections.abc import Iterable
from typing import NamedTuple

from benchmarks.pairing.page import Sound, written
from benchmarks.pairing.pair import Pair
from redstave.model.line import WORKING_ORCHESTRA, Tone
from redstave.model.score import Score
from redstave.players import play

MIDDLE, IN_A_HAND, REACH = 60, 3, 14


class Struck(NamedTuple):
    """Orchestral tones of one pitch struck at once, or one after another in quick repetition."""

    start: int
    stop: int
    midi: int
    tones: frozenset[int]


def reduced(name: str, movement: Score, repeats_held: bool = True) -> Pair:
    """Reduce a movement for two hands; the reduction is the original, the movement the entry.

    Of what is struck at once the outer voices are kept, and as many inner ones as a hand can reach,
    each pitch class once; a tone left out is carried by the kept tone of its pitch class that is
    nearest, if there is one. Quick repetitions are held.
    """
    tones = play(movement, WORKING_ORCHESTRA).tones
    quarter = movement.ticks_per_quarter
    by_start: dict[int, list[Struck]] = defaultdict(list)
    for one in _struck(tones, quarter // 2 if repeats_held else 0):
        by_start[one.start].append(one)
    played: list[Struck] = []  # what the hands strike
    stands_for: list[tuple[int, Struck]] = []  # by which pitch each orchestral tone is played
    for _, chord in sorted(by_start.items()):
        hands = _hands(chord)
        played += [one for one, _ in hands]
        stands_for += [(one.midi, other) for one, others in hands for other in (one, *others)]
    sounds = _restruck(played)
    lengths = [bar.length for bar in movement.bars]
    original, ids = written(name, sounds, lengths, quarter)
    index = {tone.notes[0]: at for at, tone in enumerate(play(original, WORKING_ORCHESTRA).tones)}
    at_pitch: dict[int, list[int]] = defaultdict(list)
    for at, sound in enumerate(sounds):
        at_pitch[sound.midi].append(at)
    links = {
        (index[ids[at]], tones[tone].notes[0])
        for midi, one in stands_for
        for at in at_pitch[midi]
        if one.start <= sounds[at].start < one.stop
        for tone in one.tones
        if sounds[at].start < tones[tone].stop and tones[tone].start < sounds[at].stop
    }
    pitched = {tone.notes[0] for tone in tones if not tone.unpitched}
    return Pair(
        name,
        original,
        movement,
        0,
        frozenset((bar.index, bar.index) for bar in movement.bars),
        frozenset(links),
        frozenset(),
        frozenset(pitched - {note for _, note in links}),
    )


def _restruck(played: list[Struck]) -> list[Sound]:
    """Let a key go when it is struck again."""
    following: dict[int, int] = {}
    sounds = []
    for one in reversed(played):
        stop = min(one.stop, following.get(one.midi, one.stop))
        following[one.midi] = one.start
        hand = "Piano/1" if one.midi >= MIDDLE else "Piano/2"
        sounds.append(Sound(hand, one.start, stop, one.midi))
    return sounds[::-1]


def turned(pair: Pair) -> Pair:
    """Return a pair the other way round: the movement is the original, the reduction the entry."""
    original = play(pair.entry, WORKING_ORCHESTRA).tones
    entry = play(pair.original, WORKING_ORCHESTRA).tones
    index = {tone.notes[0]: at for at, tone in enumerate(original)}
    links = {(index[note], entry[at].notes[0]) for at, note in pair.links}
    everything = {at for at, tone in enumerate(original) if not tone.unpitched}
    return Pair(
        pair.name,
        pair.entry,
        pair.original,
        0,
        pair.bars,
        frozenset(links),
        frozenset(everything - {at for at, _ in links}),
        frozenset(),
    )


def _struck(tones: Iterable[Tone], quick: int) -> list[Struck]:
    """Join what is struck together on a pitch, then what a line repeats quickly."""
    runs: list[Struck] = []
    last: dict[tuple[int, int], int] = {}
    for at, tone in enumerate(tones):
        if tone.unpitched:
            continue
        key = tone.line, round(tone.midi)
        before = last.get(key)
        length = tone.stop - tone.start
        if before is not None and 0 < length < quick and runs[before].stop == tone.start:
            one = runs[before]
            if (one.stop - one.start) % (4 * length):
                runs[before] = one._replace(stop=tone.stop, tones=one.tones | {at})
                continue
        last[key] = len(runs)
        runs.append(Struck(tone.start, tone.stop, round(tone.midi), frozenset((at,))))
    merged: dict[tuple[int, int], Struck] = {}
    for one in runs:
        other = merged.get((one.start, one.midi), one)
        stop = max(one.stop, other.stop)
        merged[one.start, one.midi] = one._replace(stop=stop, tones=one.tones | other.tones)
    return list(merged.values())


def _hands(chord: list[Struck]) -> Iterable[tuple[Struck, list[Struck]]]:
    """Yield what the hands keep of a chord, each with the tones it stands for besides."""
    chord.sort(key=lambda one: one.midi)
    kept = {chord[0].midi: chord[0], chord[-1].midi: chord[-1]}
    low, high = chord[0].midi, chord[-1].midi
    hands = [0, 0]
    for one in reversed(chord):
        hand = one.midi >= MIDDLE
        near = one.midi - low <= REACH if not hand else high - one.midi <= REACH
        new = all((one.midi - midi) % 12 for midi in kept)
        if new and near and hands[hand] < IN_A_HAND:
            kept[one.midi] = one
            hands[hand] += 1
    others: dict[int, list[Struck]] = defaultdict(list)
    for one in chord:
        same = [midi for midi in kept if (midi - one.midi) % 12 == 0]
        if one.midi not in kept and same:
            others[min(same, key=lambda midi: abs(midi - one.midi))].append(one)
    return [(one, others[midi]) for midi, one in kept.items()]
