"""Pairs that differ as real ones do: repeats, upbeats, barlines, what is put before or left open.

In each the tones are scored as in "doubling"; what differs is how the two pages are laid out.
"""

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from random import Random

from benchmarks.pairing.engraving import (
    bare,
    barred,
    beside,
    by_hands,
    engraved,
    laid_out,
    with_repeat,
)
from benchmarks.pairing.music import piece
from benchmarks.pairing.page import Sound, written
from benchmarks.pairing.pair import Kind, Pair, Source, Step, paired, sources, straight
from benchmarks.pairing.scoring import Way, plain, scored, voices
from redstave.model.score import Bar, Score

DOUBLED = Way(doubled=True, moved=False, dresses=(plain,))
HALF = Fraction(1, 2)


def entry_of(
    name: str, original: Score, random: Random, steps: Sequence[Step], some: Sequence[Source] = ()
) -> Pair:
    """Score an original, or some of its tones, and lay it out."""
    sounds = scored(original, some or sources(original), DOUBLED, random)
    return paired(name, original, sounds, list(steps))


def _passage(original: Score, random: Random) -> tuple[int, int]:
    """Return the first and last bar of a passage that can be repeated, not at the end."""
    bars = len(original.bars)
    first = random.choice((0, random.randrange(max(1, bars // 3))))
    return first, min(bars - 3, first + random.randrange(7, 16))


def signs_in_original(original: Score, random: Random) -> Pair:
    """Write out in the entry what the original repeats by signs."""
    first, last = _passage(original, random)
    steps = straight(original)
    pair = entry_of("", original, random, [*steps[: last + 1], *steps[first:]])
    return replace(pair, original=with_repeat(original, first, last))


def signs_in_entry(original: Score, random: Random) -> Pair:
    """Repeat by signs in the entry what the original writes out."""
    first, last = _passage(original, random)
    steps = straight(original)
    steps = [*steps[: last + 1], *steps[first:]]
    new = laid_out(original, by_hands(sources(original)), steps)
    pair = entry_of("", original, random, straight(original))
    bars = [(step.bar, at) for at, step in enumerate(steps) if step.bar is not None]
    return replace(beside(pair, new, bars), entry=with_repeat(pair.entry, first, last))


def signs_in_both(original: Score, random: Random) -> Pair:
    """Repeat by signs on both sides."""
    first, last = _passage(original, random)
    pair = entry_of("", original, random, straight(original))
    return replace(
        pair,
        original=with_repeat(original, first, last),
        entry=with_repeat(pair.entry, first, last),
    )


def endings_written_out(original: Score, random: Random) -> Pair:
    """Write out a repeat of the original that has two endings."""
    first, last = _passage(original, random)
    steps = straight(original)
    steps = [*steps[: last + 1], *steps[first:last], *steps[last + 1 :]]
    pair = entry_of("", original, random, steps)
    return replace(pair, original=with_repeat(original, first, last, ending=True))


def second_ending_only(original: Score, random: Random) -> Pair:
    """Take no repeat, and of two endings the second."""
    first, last = _passage(original, random)
    steps = straight(original)
    pair = entry_of("", original, random, [*steps[:last], *steps[last + 1 :]])
    return replace(pair, original=with_repeat(original, first, last, ending=True))


def upbeat_again(original: Score, random: Random) -> Pair:
    """Write out a repeat from the upbeat on, which comes again as a short bar."""
    new, bars = _from_upbeat(original, random)
    last = random.randrange(7, 14)
    parts = [bars[last] - bars[0], bars[0]]
    score = barred(new, [*bars[:last], parts[0], parts[1], *bars[last + 1 :]])
    steps = straight(score)
    pair = entry_of("", score, random, [*steps[: last + 1], *steps])
    return replace(pair, original=with_repeat(score, 0, last))


def upbeat_joined(original: Score, random: Random) -> Pair:
    """Write out a repeat from the upbeat on, which fills up the bar before it."""
    pair = upbeat_again(original, random)
    lengths = [bar.length for bar in pair.entry.bars]
    again = next(at for at, bar in pair.bars if bar == 0 and at > 0)
    joined = [*lengths[: again - 1], lengths[again - 1] + lengths[again], *lengths[again + 1 :]]
    bars = {(at - (at >= again), bar) for at, bar in pair.bars}
    return replace(pair, entry=barred(pair.entry, joined), bars=frozenset(bars))


def _from_upbeat(original: Score, random: Random) -> tuple[Score, list[int]]:
    """Return a bare original, and lengths of bars that begin with an upbeat."""
    new = bare(original)
    length = new.bars[1].length
    beats = max(1, length // new.ticks_per_quarter)
    upbeat = random.randrange(1, max(2, beats)) * length // max(2, beats)
    whole = sum(bar.length for bar in new.bars)
    bars = [upbeat, *[length] * ((whole - upbeat) // length), (whole - upbeat) % length]
    return new, [one for one in bars if one]


def heard_twice(original: Score, random: Random) -> Pair:
    """Play a tenth of the bars twice."""
    steps = [one for one in straight(original) for _ in range(2 if random.random() < 0.1 else 1)]
    return entry_of("", original, random, steps)


def upbeat_filled(original: Score, random: Random) -> Pair:
    """Fill the original's upbeat with rests before it to make a full bar."""
    late = _upbeat(original, random)
    kept = [one for one in sources(original) if one.start >= late]
    sounds = [one._replace(start=one.start - late, stop=one.stop - late) for one in by_hands(kept)]
    lengths = [bar.length for bar in original.bars]
    new = engraved(sounds, [lengths[0] - late, *lengths[1:]], original.ticks_per_quarter)
    pair = entry_of("", original, random, straight(original), kept)
    return beside(pair, new, pair.bars)


def upbeat_cut(original: Score, random: Random) -> Pair:
    """Begin the entry with an upbeat that the original fills with rests."""
    late = _upbeat(original, random)
    kept = [one for one in sources(original) if one.start >= late]
    new = laid_out(original, by_hands(kept), straight(original))
    pair = entry_of("", original, random, straight(original), kept)
    lengths = [bar.length for bar in original.bars]
    early = barred(pair.entry, [late, lengths[0] - late, *lengths[1:]])
    return beside(replace(pair, entry=_without_first_bar(early)), new, pair.bars)


def _upbeat(original: Score, random: Random) -> int:
    """Return at which tick of the first bar its music is to begin."""
    quarter = original.ticks_per_quarter
    beats = max(2, original.bars[0].length // quarter)
    return random.randrange(1, beats) * quarter


def _without_first_bar(score: Score) -> Score:
    """Return a score without its first, empty bar."""
    start = score.bars[1].start
    bars = tuple(
        Bar(at, str(at + 1), bar.start - start, bar.length) for at, bar in enumerate(score.bars[1:])
    )
    parts = tuple(
        replace(part, notes=tuple(note._replace(bar=note.bar - 1) for note in part.notes))
        for part in score.parts
    )
    return replace(score, bars=bars, parts=parts)


def rests_around(original: Score, random: Random) -> Pair:
    """Put two empty bars before and one after."""
    return _framed(original, random, 2, 1, [])


def introduction(original: Score, random: Random) -> Pair:
    """Put twelve bars of other music before, and six after."""
    return _framed(original, random, 12, 6, sources(piece(random.randrange(1000, 2000), 12)))


def _framed(
    original: Score, random: Random, before: int, after: int, other: Sequence[Source]
) -> Pair:
    """Put bars before and after, filled with other music from its first bar on."""
    pair = entry_of("", original, random, straight(original))
    length = original.bars[1].length  # the first may be an upbeat
    lengths = [length] * before + [bar.length for bar in original.bars] + [length] * after
    begin = length * before
    end = begin + sum(bar.length for bar in original.bars)
    scored_ = scored(original, sources(original), DOUBLED, random)
    moved = [one._replace(start=one.start + begin, stop=one.stop + begin) for one in scored_]
    quarter = original.ticks_per_quarter
    foreign = [
        Sound(
            "Violin I" if one.hand == 1 else "Cello",
            at + one.start * quarter // 24,
            at + one.stop * quarter // 24,
            one.midi,
        )
        for at, room in ((0, begin), (end, length * after))
        for one in other
        if one.stop * quarter // 24 <= room
    ]
    sounds = [*moved, *foreign]
    entry, ids = written("", sounds, lengths, quarter)
    links = {(of, id_) for one, id_ in zip(sounds, ids, strict=True) for of in one.sources}
    return replace(
        pair,
        entry=entry,
        bars=frozenset((at + before, at) for at in range(len(original.bars))),
        links=frozenset(links),
        added=frozenset(ids[len(moved) :]),
        moot=frozenset(),
    )


def _cadenza(original: Score, random: Random) -> tuple[Score, int, int]:
    """Return a bare original with bars joined into one, the first of them, how many."""
    bars = len(original.bars)
    count = random.randrange(4, 9)
    first = random.randrange(bars // 4, max(bars // 4 + 1, bars - count - 4))
    lengths = [bar.length for bar in original.bars]
    joined = [*lengths[:first], sum(lengths[first : first + count]), *lengths[first + count :]]
    return barred(original, joined), first, count


def cadenza_left_out(original: Score, random: Random) -> Pair:
    """Leave out one long bar without barlines."""
    original = bare(original)
    score, first, count = _cadenza(original, random)
    steps = straight(original)
    pair = entry_of("", original, random, [*steps[:first], *steps[first + count :]])
    bars = [(entry, bar if bar < first else bar - count + 1) for entry, bar in pair.bars]
    return replace(pair, original=score, bars=frozenset(bars))


def cadenza_barred(original: Score, random: Random) -> Pair:
    """Put barlines into one long bar."""
    original = bare(original)
    score, first, count = _cadenza(original, random)
    pair = entry_of("", original, random, straight(original))
    bars = [(entry, min(bar, max(first, bar - count + 1))) for entry, bar in pair.bars]
    return replace(pair, original=score, bars=frozenset(bars))


def left_empty(original: Score, random: Random) -> Pair:
    """Leave the bars of the last half empty; whether those stand anywhere is moot."""
    last = len(original.bars) * random.randrange(4, 7) // 10
    kept = [
        one for one in sources(original) if one.bar < last and one.stop <= original.bars[last].start
    ]
    pair = entry_of("", original, random, straight(original), kept)
    return replace(pair, moot_bars=frozenset(range(last, len(original.bars))))


def broken_off(original: Score, random: Random) -> Pair:
    """Break off after about half of the bars."""
    last = len(original.bars) * random.randrange(4, 7) // 10
    return entry_of("", original, random, straight(original)[:last])


def sketched(original: Score, random: Random) -> Pair:
    """Give only the tune in the last third."""
    last = 2 * len(original.bars) // 3
    tune = {one.at for one in voices(sources(original))["tune"]}
    kept = [one for one in sources(original) if one.bar < last or one.at in tune]
    return entry_of("", original, random, straight(original), kept)


def longer_values(original: Score, random: Random) -> Pair:
    """Double the note values and keep the metre: two bars for one."""
    steps = [one._replace(stretch=Fraction(2)) for one in straight(original)]
    pair = entry_of("", original, random, steps)
    lengths = [bar.length for bar in original.bars for _ in range(2)]
    bars = [(2 * at + by, at) for at in range(len(original.bars)) for by in range(2)]
    return replace(pair, entry=barred(pair.entry, lengths), bars=frozenset(bars))


def shorter_values(original: Score, random: Random) -> Pair:
    """Halve the note values and keep the metre: one bar for two."""
    steps = [one._replace(stretch=HALF) for one in straight(original)]
    return _joined(entry_of("", original, random, steps))


def joined_bars(original: Score, random: Random) -> Pair:
    """Join each two bars."""
    return _joined(entry_of("", original, random, straight(original)))


def _joined(pair: Pair) -> Pair:
    lengths = [bar.length for bar in pair.entry.bars]
    joined = [sum(lengths[at : at + 2]) for at in range(0, len(lengths), 2)]
    bars = [(at // 2, at) for at in range(len(lengths))]
    return replace(pair, entry=barred(pair.entry, joined), bars=frozenset(bars))


def split_bars(original: Score, random: Random) -> Pair:
    """Write two bars for each one of the original."""
    original = bare(original)
    lengths = [bar.length for bar in original.bars]
    joined = [sum(lengths[at : at + 2]) for at in range(0, len(lengths), 2)]
    pair = entry_of("", original, random, straight(original))
    bars = [(at, at // 2) for at in range(len(lengths))]
    return replace(pair, original=barred(original, joined), bars=frozenset(bars))


USAGES: dict[str, Kind] = {
    "repeat signs, entry writes out": signs_in_original,
    "repeat signs in the entry only": signs_in_entry,
    "repeat signs in both": signs_in_both,
    "two endings written out": endings_written_out,
    "second ending only": second_ending_only,
    "upbeat played again": upbeat_again,
    "upbeat joined to the bar before": upbeat_joined,
    "every tenth bar twice": heard_twice,
    "upbeat filled with rests": upbeat_filled,
    "rests cut to an upbeat": upbeat_cut,
    "empty bars around": rests_around,
    "introduction, coda": introduction,
    "cadenza left out": cadenza_left_out,
    "cadenza barred": cadenza_barred,
    "second half empty": left_empty,
    "second half missing": broken_off,
    "last third only the tune": sketched,
    "values doubled, two bars for one": longer_values,
    "values halved, one bar for two": shorter_values,
    "bars joined": joined_bars,
    "bars split": split_bars,
}
