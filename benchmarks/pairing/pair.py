"""An original, an entry made from it, and the truth about the two."""

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from random import Random
from typing import NamedTuple

from benchmarks.pairing.page import CUE, Sound, Writer, written
from redstave.model.line import WORKING_ORCHESTRA
from redstave.model.score import Score
from redstave.players import play

Link = tuple[int, str]
THROUGH = 0.75  # share of a length that is as good as all of it


@dataclass(frozen=True)
class Pair:
    """A pair with its truth.

    `bars` are (bar of the entry, bar of the original), indices; `links` are (tone of the original,
    note id of the entry); `left_out` are tones of the original, `added` note ids of the entry.

    Two things no page tells. `readings` are links of which others are as good: of each row, one
    set. `moot` links are neither right nor wrong, and tones that have no others are neither left
    out nor added; `moot_bars` of the entry may stand anywhere. What is moot is said where pairs are
    made.
    """

    name: str
    original: Score
    entry: Score
    transposition: int
    bars: frozenset[tuple[int, int]]
    links: frozenset[tuple[int, str]]
    left_out: frozenset[int]
    added: frozenset[str]
    readings: tuple[tuple[frozenset[Link], ...], ...] = ()
    moot: frozenset[Link] = frozenset()
    moot_bars: frozenset[int] = frozenset()


Kind = Callable[[Score, Random], Pair]


class Source(NamedTuple):
    """A tone of an original: its place among the tones, ticks, pitch, hand, bar.

    The right or upper hand is 1, the left 2.
    """

    at: int
    start: int
    stop: int
    midi: int
    hand: int
    bar: int


class Step(NamedTuple):
    """What a bar of the entry is made of: a bar of the original, or None for foreign music."""

    bar: int | None
    stretch: Fraction = Fraction(1)


def sources(original: Score) -> list[Source]:
    """Return the pitched tones of an original."""
    stave: dict[str, int] = {}
    staves = 0
    for part in original.parts:
        stave.update((note.id, staves + note.stave) for note in part.notes)
        staves += part.staves
    return [
        Source(at, tone.start, tone.stop, round(tone.midi), min(2, stave[tone.notes[0]]), tone.bar)
        for at, tone in enumerate(play(original, WORKING_ORCHESTRA).tones)
        if not tone.unpitched
    ]


def paired(
    name: str,
    original: Score,
    sounds: Sequence[Sound],
    steps: Sequence[Step],
    transposition: int = 0,
    foreign: Sequence[Sound] = (),
    writer: Writer = written,
) -> Pair:
    """Lay out sounds, timed as in the original, by bars of the entry, and write the entry.

    `foreign` sounds fill the bars that come from nowhere, counted from the start of each. Cues are
    no tones that anyone plays: neither do they carry anything nor are they new.
    A tone of the original that nobody was given may be there all the same, and whether it is left
    out is moot: where somebody else comes to its pitch by the time it begins and stays for as long;
    and where it only fills a chord, as neither the highest nor the lowest struck, and another of
    its pitch class struck with it is played; where its figure is held, or broken in another way,
    and somebody comes to its pitch class there; and where a tone that was made of another one, not
    struck with it, is struck and left with the one left out. Whether a tone made from none is new
    is moot where it comes upon a pitch class that the hands sound, and others play, for half of its
    length: as in a reduction, no page tells whether its line meets the harmony or doubles it.
    """
    lengths = [round(original.bars[one.bar or 0].length * one.stretch) for one in steps]
    both = list(_placed(original, sounds, steps, lengths, foreign))
    as_written = [sound for sound, _ in both]
    laid = [moved._replace(midi=moved.midi + transposition) for _, moved in both]
    entry, ids = writer(name, laid, lengths, original.ticks_per_quarter)
    played = [at for at, one in enumerate(laid) if one.sign != CUE]
    links = {(of, ids[at]) for at in played for of in laid[at].sources}
    everything = sources(original)
    left_out = [one for one in everything if one.at not in {of for of, _ in links}]
    own = [] if foreign else [(as_written[at], ids[at]) for at in played]
    moot = [*_sounding_anyway(left_out, own), *_played_anyway(everything, links)]
    moot += [*_upon_others(everything, own, links), *_in_figures(left_out, everything, own)]
    return Pair(
        name,
        original,
        entry,
        transposition,
        frozenset((at, step.bar) for at, step in enumerate(steps) if step.bar is not None),
        frozenset(links),
        frozenset(one.at for one in left_out),
        frozenset(ids[at] for at in played if not laid[at].sources),
        moot=frozenset(moot),
    )


def _sounding_anyway(some: Iterable[Source], sounds: Iterable[tuple[Sound, str]]) -> Iterable[Link]:
    """Yield tones of an original with the notes that sound them, though made from others."""
    on_pitch: dict[int, dict[str, list[tuple[Sound, str]]]] = defaultdict(lambda: defaultdict(list))
    for sound, note in sounds:
        on_pitch[sound.midi][sound.player].append((sound, note))
    for one in some:
        for played in on_pitch[one.midi].values():
            there = [note for sound, note in played if _shared(sound, one) > 0]
            begun = any(sound.start <= one.start < sound.stop for sound, _ in played)
            together = sum(max(0, _shared(sound, one)) for sound, _ in played)
            if begun and together >= THROUGH * (one.stop - one.start):
                yield from ((one.at, note) for note in there)


def _in_figures(
    left_out: Iterable[Source], everything: Iterable[Source], sounds: Iterable[tuple[Sound, str]]
) -> Iterable[Link]:
    """Yield tones of an original with the notes of a figure that has become another; no graces.

    Such a note sounds at times when none of its sources does, or is struck apart from them all.
    """
    source = {one.at: one for one in everything}
    figures: dict[tuple[int, int, int], list[str]] = defaultdict(list)
    struck: dict[tuple[int, int, int], list[str]] = defaultdict(list)
    for sound, note in sounds:
        of = [source[at] for at in sound.sources if source[at].stop > source[at].start]
        if not any(one.start <= sound.start and sound.stop <= one.stop for one in of):
            for one in of:
                figures[one.bar, one.hand, one.midi % 12].append(note)
        if of and all(one.start != sound.start for one in of):
            struck[sound.start, sound.stop, sound.midi % 12].append(note)
    for one in left_out:
        yield from ((one.at, note) for note in figures[one.bar, one.hand, one.midi % 12])
        yield from ((one.at, note) for note in struck[one.start, one.stop, one.midi % 12])


def _placed(
    original: Score,
    sounds: Sequence[Sound],
    steps: Sequence[Step],
    lengths: Sequence[int],
    foreign: Sequence[Sound],
) -> Iterator[tuple[Sound, Sound]]:
    """Yield each sound as it is in the original, and where it comes to lie in the entry."""
    starts = [bar.start for bar in original.bars]
    by_bar: dict[int, list[Sound]] = {}
    for sound in sounds:
        by_bar.setdefault(bisect_right(starts, sound.start) - 1, []).append(sound)
    begin = 0
    for at, (step, length) in enumerate(zip(steps, lengths, strict=True)):
        here = foreign if step.bar is None else by_bar.get(step.bar, ())
        origin = 0 if step.bar is None else starts[step.bar]
        room = _room(steps, lengths, at)
        for sound in here:
            if moved := _laid(sound, origin, begin, room, step.stretch):
                yield sound, moved
        begin += length


def _upon_others(
    everything: Iterable[Source], sounds: Iterable[tuple[Sound, str]], links: Iterable[Link]
) -> Iterable[Link]:
    """Yield new tones with what the hands sound, and others play, on their pitch class."""
    carried = {of for of, _ in links}
    of_class: dict[int, list[Source]] = defaultdict(list)
    for one in everything:
        if one.at in carried:
            of_class[one.midi % 12].append(one)
    for sound, note in sounds:
        if sound.sources:
            continue
        upon = [(one.at, _shared(sound, one)) for one in of_class[sound.midi % 12]]
        if 2 * sum(max(0, shared) for _, shared in upon) >= sound.stop - sound.start:
            yield from ((at, note) for at, shared in upon if shared > 0)


def _played_anyway(everything: Iterable[Source], links: Iterable[Link]) -> Iterable[Link]:
    """Yield tones that nobody was given with the notes that play others of their chord."""
    notes: dict[int, list[str]] = defaultdict(list)
    for of, note in links:
        notes[of].append(note)
    chords: dict[int, list[Source]] = defaultdict(list)
    for one in everything:
        chords[one.start].append(one)
    for chord in chords.values():
        outer = {min(one.midi for one in chord), max(one.midi for one in chord)}
        for one in chord:
            if one.at not in notes and one.midi not in outer:
                for other in chord:
                    if (other.midi - one.midi) % 12 == 0:
                        yield from ((one.at, note) for note in notes.get(other.at, ()))


def _shared(sound: Sound, one: Source) -> int:
    return min(sound.stop, one.stop) - max(sound.start, one.start)


def _room(steps: Sequence[Step], lengths: Sequence[int], at: int) -> int:
    """Return how far what begins in a bar may last: until the entry leaves the original's order."""
    room = lengths[at]
    while at + 1 < len(steps):
        here, after = steps[at], steps[at + 1]
        if here.bar is None or after.bar != here.bar + 1 or after.stretch != here.stretch:
            break
        at += 1
        room += lengths[at]
    return room


def _laid(sound: Sound, origin: int, begin: int, room: int, stretch: Fraction) -> Sound | None:
    """Return a sound where it comes to lie; None where there is no room for it."""
    start = round((sound.start - origin) * stretch)
    stop = min(room, round((sound.stop - origin) * stretch))
    if stop > start or sound.grace:
        return sound._replace(start=begin + start, stop=begin + stop)
    return None


def straight(original: Score) -> list[Step]:
    """Return the bars of an original as they stand."""
    return [Step(bar.index) for bar in original.bars]
