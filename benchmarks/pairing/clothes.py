"""Pairs in which the hands and the players write one thing in two ways.

Ornaments, grace notes and tremolo written out or not, rhythm made even or uneven, other hands.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import pairwise
from random import Random

from benchmarks.pairing.engraving import Engraving, beside, by_hands, engraved
from benchmarks.pairing.page import Sound
from benchmarks.pairing.pair import Kind, Pair, Source, paired, sources, straight
from benchmarks.pairing.scoring import Bar, Player, Way, plain, scored, voices
from redstave.model.score import Score

DOUBLED = Way(doubled=True, moved=False, dresses=(plain,))
OFTEN = 0.3  # how often a tune note has an ornament


def _entry(original: Score, sounds: Sequence[Sound]) -> Pair:
    return paired("", original, sounds, straight(original))


def _anew(original: Score, sounds: Sequence[Sound]) -> Engraving:
    return engraved(sounds, [bar.length for bar in original.bars], original.ticks_per_quarter)


def _shaken(one: Sound, step: int) -> list[Sound]:
    """Return a tone shaken with the one above for half of its length; that has no source."""
    half = one.start + (one.stop - one.start) // (4 * step) * 2 * step
    strokes = [
        one._replace(start=tick, stop=tick + step, midi=one.midi + by, sources=of)
        for low in range(one.start, half, 2 * step)
        for tick, by, of in ((low, 0, one.sources), (low + step, 2, frozenset[int]()))
    ]
    return [*strokes, one._replace(start=half)]


def _with_shakes(
    sounds: Iterable[Sound], tune: frozenset[int], original: Score, random: Random
) -> list[Sound]:
    quarter = original.ticks_per_quarter
    found = []
    chosen: dict[frozenset[int], bool] = {}
    for one in sounds:
        long = one.stop - one.start >= quarter and one.sources <= tune
        if long and chosen.setdefault(one.sources, random.random() < OFTEN):
            found += _shaken(one, max(1, quarter // 8))
        else:
            found.append(one)
    return found


def _tune(original: Score) -> frozenset[int]:
    return frozenset(one.at for one in voices(sources(original))["tune"])


def ornaments_written_out(original: Score, random: Random) -> Pair:
    """Write out shakes in the entry; whether their upper notes are new is moot."""
    sounds = scored(original, sources(original), DOUBLED, random)
    pair = _entry(original, _with_shakes(sounds, _tune(original), original, random))
    some = min(at for at, _ in pair.links)
    return replace(pair, moot=pair.moot | {(some, note) for note in pair.added})


def ornaments_by_sign(original: Score, random: Random) -> Pair:
    """Write out shakes in the original; whether their upper notes are left out is moot."""
    hands = _with_shakes(by_hands(sources(original)), _tune(original), original, random)
    pair = _entry(original, scored(original, sources(original), DOUBLED, random))
    new = _anew(original, hands)
    pair = beside(pair, new, pair.bars)
    some = min(note for _, note in pair.links)
    return replace(
        pair,
        left_out=pair.left_out | new.others,
        moot=pair.moot | {(at, some) for at in new.others},
    )


def _graced(original: Score, random: Random) -> Score:
    """Return an original with a grace note before every few tune notes."""
    tune = _tune(original)
    sounds = []
    for one in by_hands(sources(original)):
        if not one.grace and one.sources <= tune and random.random() < OFTEN:
            sounds.append(one._replace(stop=one.start, midi=one.midi + 2, grace=True))
        sounds.append(one)
    return _anew(original, sounds).score


def graces_measured(original: Score, random: Random) -> Pair:
    """Write grace notes as thirty-seconds, before the beat or on it."""
    original = _graced(original, random)
    step = max(1, original.ticks_per_quarter // 8)
    grace, kept = _graces(original)
    sounds = []
    for one in scored(original, kept, DOUBLED, random):
        above = grace.get(min(one.sources))
        if above is None or one.stop - one.start <= step:
            sounds.append(one)
            continue
        before = random.random() < 0.5 and one.start >= step
        start = one.start - step if before else one.start
        small = Sound(one.player, start, start + step, one.midi + 2, frozenset((above,)))
        sounds += [small, one if before else one._replace(start=one.start + step)]
    return _entry(original, sounds)


def _graces(original: Score) -> tuple[dict[int, int], list[Source]]:
    """Return the grace note of each tone that has one above it, and all that are none."""
    everything = sources(original)
    small = {(one.start, one.midi): one.at for one in everything if one.stop <= one.start}
    kept = [one for one in everything if one.stop > one.start]
    found = {one.at: small.get((one.start, one.midi + 2)) for one in kept if one.hand == 1}
    return {at: above for at, above in found.items() if above is not None}, kept


def graces_left_out(original: Score, random: Random) -> Pair:
    """Leave grace notes out."""
    original = _graced(original, random)
    return _entry(original, scored(original, _graces(original)[1], DOUBLED, random))


def tremolo_held(original: Score, random: Random) -> Pair:
    """Hold in the entry the chords that the hands play in tremolo."""
    step = max(1, original.ticks_per_quarter // 8)
    chords: dict[tuple[str, int, int], list[Sound]] = defaultdict(list)
    for one in by_hands(sources(original)):
        chords[one.player, one.start, one.stop].append(one)
    sounds: list[Sound] = []
    for (_, start, stop), chord in chords.items():
        if len(chord) < 2 or stop - start < original.ticks_per_quarter:
            sounds += chord
            continue
        chord.sort(key=lambda one: one.midi)
        for at, tick in enumerate(range(start, stop - step + 1, step)):
            half = chord[1:] if at % 2 else chord[:1]
            sounds += [one._replace(start=tick, stop=tick + step) for one in half]
    pair = _entry(original, scored(original, sources(original), DOUBLED, random))
    return beside(pair, _anew(original, sounds), pair.bars)


def on_one_stave(original: Score, random: Random) -> Pair:
    """Write both hands on one stave."""
    hands = [one._replace(player="Piano") for one in by_hands(sources(original))]
    pair = _entry(original, scored(original, sources(original), DOUBLED, random))
    return beside(pair, _anew(original, hands), pair.bars)


def crossing_staves(original: Score, random: Random) -> Pair:
    """Write bars of one hand, or of both, on the stave of the other."""
    to = [random.choice(({}, {1: 2}, {2: 1}, {1: 2, 2: 1})) for _ in original.bars]
    hands = [
        sound._replace(player=f"Piano/{to[one.bar].get(one.hand, one.hand)}")
        for one, sound in zip(sources(original), by_hands(sources(original)), strict=True)
    ]
    pair = _entry(original, scored(original, sources(original), DOUBLED, random))
    return beside(pair, _anew(original, hands), pair.bars)


def after_the_beat(some: Sequence[Source], bar: Bar, player: Player, random: Random) -> list[Sound]:
    """Strike in the second half of each tone that is a quarter or longer."""
    return [
        one._replace(start=(one.start + one.stop) // 2)
        if one.stop - one.start >= bar.quarter
        else one
        for one in plain(some, bar, player, random)
    ]


def swung(some: Sequence[Source], bar: Bar, player: Player, random: Random) -> list[Sound]:
    """Let eighths after the beat come a sixth of a quarter late."""
    late = bar.quarter // 6

    def moved(tick: int) -> int:
        return tick + late if 2 * ((tick - bar.start) % bar.quarter) == bar.quarter else tick

    return [
        one._replace(start=moved(one.start), stop=max(moved(one.start) + 1, moved(one.stop)))
        if not one.grace
        else one
        for one in plain(some, bar, player, random)
    ]


def sustained(some: Sequence[Source], bar: Bar, player: Player, random: Random) -> list[Sound]:
    """Hold each tone until the next chord of its voice, or to the end of the bar."""
    starts = sorted({one.start for one in some})
    until = dict(pairwise([*starts, bar.stop]))
    return [
        one if one.grace else one._replace(stop=max(one.stop, until[one.start]))
        for one in plain(some, bar, player, random)
    ]


def handed_on(some: Sequence[Source], bar: Bar, player: Player, _: Random) -> list[Sound]:
    """Give each beat to another player."""
    found = []
    for one in some:
        beat = (one.start - bar.start) // bar.quarter
        name = ("Flute", "Oboe", "Clarinet")[beat % 3] if player[0] != "Cello" else "Bassoon"
        found += plain([one], bar, (name, player[1]) if beat % 2 else player, Random(0))
    return found


def _dressed(way: Way) -> Kind:
    def made(original: Score, random: Random) -> Pair:
        return _entry(original, scored(original, sources(original), way, random))

    return made


def thirds_added(original: Score, random: Random) -> Pair:
    """Add a line a third below the tune; where its pitch class sounds anyway that is moot."""
    everything = sources(original)
    tune = _tune(original)
    sounds = scored(original, everything, DOUBLED, random)
    third = [
        Sound("Trumpet", one.start, one.stop, one.midi - random.choice((3, 4)))
        for one in everything
        if one.at in tune and one.stop > one.start
    ]
    pair = _entry(original, [*sounds, *third])
    note = {note.id: note for part in pair.entry.parts for note in part.notes}
    moot = set(pair.moot)
    by_bar: dict[int, list[Source]] = defaultdict(list)
    for one in everything:
        by_bar[one.bar].append(one)
    for id_ in pair.added:
        start = pair.entry.bars[note[id_].bar].start + note[id_].offset
        stop = start + note[id_].duration
        for one in (*by_bar[note[id_].bar - 1], *by_bar[note[id_].bar]):
            same = (one.midi - round(note[id_].written_midi)) % 12 == 0
            if same and one.start < stop and start < one.stop:
                moot.add((one.at, id_))
    return replace(pair, moot=frozenset(moot))


CLOTHES: dict[str, Kind] = {
    "ornaments written out": ornaments_written_out,
    "ornaments by sign": ornaments_by_sign,
    "grace notes measured": graces_measured,
    "grace notes left out": graces_left_out,
    "piano tremolo held": tremolo_held,
    "on one stave": on_one_stave,
    "crossing staves": crossing_staves,
    "struck after the beat": _dressed(DOUBLED._replace(dresses=(after_the_beat,), tune=False)),
    "eighths swung": _dressed(DOUBLED._replace(dresses=(swung,))),
    "sustained": _dressed(DOUBLED._replace(dresses=(sustained,))),
    "handed from player to player": _dressed(DOUBLED._replace(dresses=(handed_on,))),
    "thirds added": thirds_added,
}
