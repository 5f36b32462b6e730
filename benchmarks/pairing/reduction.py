"""An orchestral movement played by two hands: what a reduction keeps, and what stands for what."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from benchmarks.pairing.page import Sound, written
from benchmarks.pairing.pair import Link, Pair
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

    @property
    def grace(self) -> bool:
        """Whether it is a grace note."""
        return self.stop <= self.start

    def goes_with(self, sound: Sound) -> bool:
        """Tell whether a sound begins while this sounds; a grace note with a grace note only."""
        if self.grace or sound.grace:
            return self.grace and sound.grace and self.start == sound.start
        return self.start <= sound.start < self.stop


def reduced(name: str, movement: Score, repeats_held: bool = True) -> Pair:
    """Reduce a movement for two hands; the reduction is the original, the movement the entry.

    Of what is struck at once the outer voices are kept, and as many inner ones as a hand can reach,
    each pitch class once. A tone that the hands leave out is played by a kept one of its pitch
    class struck with it, if there is one: by any, where two octaves are kept, since no page tells
    which of the two a third one doubles. If there is none it is new to the hands, or lost in them;
    that is moot where they sound its pitch class anyway, in whatever octave, for half of its
    length: it comes upon a note of the chord that is there. Moot are also the links of what is
    played in another octave to what sounds at its own pitch meanwhile. Quick repetitions are held,
    and so are both chords of a tremolo between two.
    """
    tones = heard(movement)
    quarter = movement.ticks_per_quarter
    played, stands_for = _by_the_hands(_struck(tones, quarter // 2 if repeats_held else 0))
    sounds = _restruck(played)
    original, ids = written(name, sounds, [bar.length for bar in movement.bars], quarter)
    index = {tone.notes[0]: at for at, tone in enumerate(play(original, WORKING_ORCHESTRA).tones)}
    keys = _Keys([(sound, index[id_]) for sound, id_ in zip(sounds, ids, strict=True)])
    readings = [
        tuple(keys.links(tones, one, midi) for midi in pitches)
        for one, pitches in stands_for
        if pitches
    ]
    links = frozenset[Link]().union(*(some[0] for some in readings))
    linked = {note for _, note in links}
    pitched = [one for one in tones if not one.unpitched]
    over = [one for one in pitched if one.notes[0] not in linked]
    moot = [keys.with_it(one) for one in over]
    moot += [keys.at_its_pitch(one) for one in pitched if one.notes[0] in linked]
    return Pair(
        name,
        original,
        movement,
        0,
        frozenset((bar.index, bar.index) for bar in movement.bars),
        links,
        frozenset(),
        frozenset(one.notes[0] for one in over),
        tuple(some for some in readings if len(some) > 1),
        frozenset(link for some in moot for link in some) - links,
    )


def _by_the_hands(some: Iterable[Struck]) -> tuple[list[Struck], list[tuple[Struck, list[int]]]]:
    """Return what the hands strike, and the pitches by which they play each one."""
    struck: dict[tuple[int, bool], list[Struck]] = defaultdict(list)
    for one in some:
        struck[one.start, one.grace].append(one)
    played: list[Struck] = []
    stands_for: list[tuple[Struck, list[int]]] = []
    for _, chord in sorted(struck.items()):
        kept = _kept(chord)
        played += [one for one in chord if one.midi in kept]
        stands_for += [(one, _nearest(one.midi, kept)) for one in chord]
    return played, stands_for


def heard(movement: Score) -> list[Tone]:
    """Return the tones of a movement; in a tremolo between two chords both sound all through it.

    They are printed with half of the time each (MusicXML 4.0, `tremolo`).
    """
    tones = list(play(movement, WORKING_ORCHESTRA).tones)
    at = {note: index for index, tone in enumerate(tones) for note in tone.notes}
    for part in movement.parts:
        place = {note.id: (note.stave, note.voice, note.bar, note.offset) for note in part.notes}
        chords: dict[object, list[int]] = defaultdict(list)
        for note in part.notes:
            if note.id in at and not note.grace:
                chords[place[note.id]].append(at[note.id])
        for span in part.spans:
            if span.kind == "tremolo" and span.start and span.stop:
                both = [
                    index
                    for end in (span.start, span.stop)
                    for index in chords.get(place.get(end.note), ())
                ]
                start = min((tones[index].start for index in both), default=0)
                stop = max((tones[index].stop for index in both), default=0)
                for index in both:
                    tones[index] = tones[index]._replace(start=start, stop=stop)
    return tones


class _Keys:
    """What the hands play: sounds, each with its place among the tones of the reduction."""

    def __init__(self, sounds: Iterable[tuple[Sound, int]]) -> None:
        self._at_class: dict[int, list[tuple[Sound, int]]] = defaultdict(list)
        for sound, at in sounds:
            self._at_class[sound.midi % 12].append((sound, at))

    def links(self, tones: Sequence[Tone], one: Struck, midi: int) -> frozenset[Link]:
        """Return the links of orchestral tones that are played at a pitch."""
        return frozenset(
            (at, tones[tone].notes[0])
            for sound, at in self._at_class[midi % 12]
            if sound.midi == midi and one.goes_with(sound)
            for tone in one.tones
            if one.grace or (sound.start < tones[tone].stop and tones[tone].start < sound.stop)
        )

    def with_it(self, tone: Tone) -> list[Link]:
        """Return the links of a tone to what sounds with it, if it does for half of its length."""
        some = self._at_once(tone)
        together = sum(shared for _, _, shared in some)
        enough = 2 * together >= tone.stop - tone.start
        return [(at, tone.notes[0]) for _, at, _ in some] if enough else []

    def at_its_pitch(self, tone: Tone) -> list[Link]:
        """Return the links of a tone to what sounds at its own pitch while it does."""
        some = self._at_once(tone)
        return [(at, tone.notes[0]) for sound, at, _ in some if sound.midi == round(tone.midi)]

    def _at_once(self, tone: Tone) -> list[tuple[Sound, int, int]]:
        """Return what sounds on the pitch class of a tone while it does, and for how long."""
        shared = [
            (sound, at, min(sound.stop, tone.stop) - max(sound.start, tone.start))
            for sound, at in self._at_class[round(tone.midi) % 12]
        ]
        return [one for one in shared if one[-1] > 0]


def _restruck(played: list[Struck]) -> list[Sound]:
    """Let a key go when it is struck again."""
    following: dict[int, int] = {}
    sounds = []
    for one in reversed(played):
        hand = "Piano/1" if one.midi >= MIDDLE else "Piano/2"
        stop = one.stop if one.grace else min(one.stop, following.get(one.midi, one.stop))
        if not one.grace:
            following[one.midi] = one.start
        sounds.append(Sound(hand, one.start, stop, one.midi, grace=one.grace))
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
        tuple(
            tuple(frozenset((index[note], entry[at].notes[0]) for at, note in one) for one in some)
            for some in pair.readings
        ),
        frozenset((index[note], entry[at].notes[0]) for at, note in pair.moot),
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
    merged: dict[tuple[int, int, bool], Struck] = {}
    for one in runs:
        other = merged.get((one.start, one.midi, one.grace), one)
        stop = max(one.stop, other.stop)
        merged[one.start, one.midi, one.grace] = one._replace(
            stop=stop, tones=one.tones | other.tones
        )
    return list(merged.values())


def _kept(chord: list[Struck]) -> list[int]:
    """Return the pitches that the hands keep of a chord."""
    pitches = sorted(one.midi for one in chord)
    low, high = pitches[0], pitches[-1]
    kept = [low] if low == high else [low, high]
    hands = [0, 0]
    for midi in reversed(pitches):
        hand = midi >= MIDDLE
        near = midi - low <= REACH if not hand else high - midi <= REACH
        new = all((midi - other) % 12 for other in kept)
        if new and near and hands[hand] < IN_A_HAND:
            kept.append(midi)
            hands[hand] += 1
    return kept


def _nearest(midi: int, kept: list[int]) -> list[int]:
    """Return the kept pitches that play a pitch: itself, or its octaves, the nearest first."""
    if midi in kept:
        return [midi]
    same = [other for other in kept if (other - midi) % 12 == 0]
    return sorted(same, key=lambda other: abs(other - midi))
