"""The kinds of pairs: what is done to an original to make an entry of it."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from fractions import Fraction
from random import Random

from benchmarks.pairing.music import piece
from benchmarks.pairing.page import Sound, written
from benchmarks.pairing.pair import Kind, Pair, Source, Step, paired, sources, straight
from benchmarks.pairing.scoring import (
    Way,
    broken,
    held,
    plain,
    refigured,
    repeated,
    scored,
    short,
    tremolo,
)
from redstave.model.line import WORKING_ORCHESTRA
from redstave.model.score import Score
from redstave.players import play

SPLIT = Way(doubled=False, moved=False, dresses=(plain,))
DOUBLED = Way(doubled=True, moved=False, dresses=(plain,))
MOVED = Way(doubled=False, moved=True, dresses=(plain,))
HELD = Way(doubled=False, moved=False, dresses=(held,))
TREMOLO = Way(doubled=False, moved=False, dresses=(tremolo, repeated))
BROKEN = Way(doubled=False, moved=False, dresses=(broken, short))
REFIGURED = Way(doubled=False, moved=False, dresses=(refigured,), tune=False)
EVERYTHING = Way(doubled=True, moved=True, dresses=(plain, held, tremolo, repeated, broken, short))


def _way(name: str, way: Way) -> Kind:
    def made(original: Score, random: Random) -> Pair:
        sounds = scored(original, sources(original), way, random)
        return paired(name, original, sounds, straight(original))

    return made


def transposed(original: Score, random: Random) -> Pair:
    """Sound the whole in another key."""
    by = random.choice((-5, -3, -2, -1, 1, 2, 3, 4, 5, 6))
    sounds = scored(original, sources(original), DOUBLED, random)
    return paired("transposed", original, sounds, straight(original), by)


def cut(original: Score, random: Random) -> Pair:
    """Leave out three to eight bars in two places."""
    steps = straight(original)
    for _ in range(2):
        first = random.randrange(2, max(3, len(steps) - 10))
        del steps[first : first + random.randrange(3, 9)]
    return _laid("cut", original, steps, random)


def repeat(original: Score, random: Random) -> Pair:
    """Write out a repeat of four to eight bars."""
    steps = straight(original)
    first = random.randrange(0, max(1, len(steps) - 10))
    last = first + random.randrange(4, 9)
    return _laid("repeat written out", original, [*steps[:last], *steps[first:]], random)


def augmented(original: Score, random: Random) -> Pair:
    """Double all note values, bars and all."""
    steps = [one._replace(stretch=Fraction(2)) for one in straight(original)]
    return _laid("note values doubled", original, steps, random)


def diminished(original: Score, random: Random) -> Pair:
    """Halve all note values."""
    steps = [one._replace(stretch=Fraction(1, 2)) for one in straight(original)]
    return _laid("note values halved", original, steps, random)


def augmented_in_part(original: Score, random: Random) -> Pair:
    """Double the note values of some bars."""
    steps = straight(original)
    first = random.randrange(0, max(1, len(steps) - 10))
    for at in range(first, min(first + 6, len(steps))):
        steps[at] = steps[at]._replace(stretch=Fraction(2))
    return _laid("six bars doubled", original, steps, random)


def inserted(original: Score, random: Random) -> Pair:
    """Put foreign bars in, a tenth as many, and take a tenth out."""
    steps: list[Step] = []
    foreign = _foreign(original, random)
    for one in straight(original):
        chance = random.random()
        if chance < 0.05:
            steps.append(Step(None))
        if chance < 0.95:
            steps.append(one)
    sounds = scored(original, sources(original), DOUBLED, random)
    return paired("5 % in, 5 % out", original, sounds, steps, foreign=foreign)


def _laid(name: str, original: Score, steps: Sequence[Step], random: Random) -> Pair:
    return paired(name, original, scored(original, sources(original), DOUBLED, random), list(steps))


def _foreign(original: Score, random: Random) -> list[Sound]:
    """Return a bar of another invented piece."""
    other = piece(random.randrange(1000, 2000), 8)
    quarter = original.ticks_per_quarter
    return [
        Sound(
            "Violin I" if one.hand == 1 else "Cello",
            one.start * quarter // other.ticks_per_quarter,
            one.stop * quarter // other.ticks_per_quarter,
            one.midi,
        )
        for one in sources(other)
        if one.bar == 0
    ]


def barlines_elsewhere(original: Score, random: Random) -> Pair:
    """Give the original barlines of its own: other metres, all a beat late, and no hands."""
    pair = _laid("barlines elsewhere", original, straight(original), random)
    quarter = original.ticks_per_quarter
    length = random.choice((2, 3, 4, 5)) * quarter
    all_ = sources(original)
    sounds = [
        Sound("Piano", one.start + quarter, max(one.stop, one.start + 1) + quarter, one.midi)
        for one in all_
    ]
    bars = -(-max(one.stop for one in sounds) // length)
    moved, ids = written("moved", sounds, [length] * bars, quarter)
    note = {one.notes[0]: at for at, one in enumerate(play(moved, WORKING_ORCHESTRA).tones)}
    now = {one.at: note[id_] for one, id_ in zip(all_, ids, strict=True)}
    beside = {
        (bar.index, other.index)
        for bar in original.bars
        for other in moved.bars
        if _overlap(bar.start + quarter, bar.length, other.start, other.length)
    }
    return replace(
        pair,
        original=moved,
        bars=frozenset(beside),
        links=frozenset((now[at], id_) for at, id_ in pair.links),
        left_out=frozenset(now[at] for at in pair.left_out),
    )


def _overlap(start: int, length: int, other: int, other_length: int) -> bool:
    """Tell whether two bars share at least half of the shorter."""
    shared = min(start + length, other + other_length) - max(start, other)
    return 2 * shared >= min(length, other_length) > 0


def changed(original: Score, random: Random) -> Pair:
    """Leave tones out and add tones, plainly scored."""
    return _changed("left out, added", original, DOUBLED, random)


def rewritten(original: Score, random: Random) -> Pair:
    """Rewrite figures, leave tones out and add some."""
    return _changed("figures rewritten, left out", original, REFIGURED, random)


def everything(original: Score, random: Random) -> Pair:
    """Rewrite in every way, leave tones out and add some."""
    return _changed("everything at once", original, EVERYTHING, random)


def _changed(name: str, original: Score, way: Way, random: Random) -> Pair:
    all_ = sources(original)
    kept = list(_thinned(all_, original, random))
    sounds = scored(original, kept, way, random)
    sounds += _foreign_tones(all_, original, random)
    sounds += _counter_line(original, random)
    return paired(name, original, sounds, straight(original))


def _thinned(all_: Sequence[Source], original: Score, random: Random) -> Iterable[Source]:
    """Leave out single tones, and one hand's lower notes for some bars."""
    first = random.randrange(len(original.bars))
    hand = random.choice((1, 2))
    for one in all_:
        passage = first <= one.bar < first + 3 and one.hand == hand
        if random.random() > (0.5 if passage else 0.03):
            yield one


def _foreign_tones(all_: Sequence[Source], original: Score, random: Random) -> Iterable[Sound]:
    """Yield tones of pitch classes that do not sound in the bar."""
    for bar in original.bars:
        if random.random() > 0.25:
            continue
        there = {
            one.midi % 12
            for one in all_
            if one.start < bar.start + bar.length and bar.start < one.stop
        }
        start = bar.start + random.randrange(max(1, bar.length // original.ticks_per_quarter)) * (
            original.ticks_per_quarter
        )
        midi = random.choice([midi for midi in range(55, 80) if midi % 12 not in there] or [61])
        stop = min(start + original.ticks_per_quarter, bar.start + bar.length)
        yield Sound("Trumpet", start, stop, midi)


def _counter_line(original: Score, random: Random) -> Iterable[Sound]:
    """Yield a line of its own in quarters for six bars; it touches the harmony by chance."""
    first = random.randrange(max(1, len(original.bars) - 6))
    quarter = original.ticks_per_quarter
    midi = random.randrange(58, 70)
    for bar in original.bars[first : first + 6]:
        for tick in range(bar.start, bar.start + bar.length, quarter):
            midi = min(76, max(52, midi + random.choice((-3, -2, -2, -1, 1, 2, 2, 3))))
            yield Sound("Trombone", tick, min(tick + quarter, bar.start + bar.length), midi)


KINDS: dict[str, Kind] = {
    "hand split": _way("hand split", SPLIT),
    "doubling": _way("doubling", DOUBLED),
    "register moves": _way("register moves", MOVED),
    "held arpeggios": _way("held arpeggios", HELD),
    "tremolo, repeated notes": _way("tremolo, repeated notes", TREMOLO),
    "broken chords, short notes": _way("broken chords, short notes", BROKEN),
    "figures rewritten": _way("figures rewritten", REFIGURED),
    "transposed": transposed,
    "cut": cut,
    "repeat written out": repeat,
    "note values doubled": augmented,
    "note values halved": diminished,
    "six bars doubled": augmented_in_part,
    "5 % in, 5 % out": inserted,
    "barlines elsewhere": barlines_elsewhere,
    "left out, added": changed,
    "figures rewritten, left out": rewritten,
    "everything at once": everything,
}
