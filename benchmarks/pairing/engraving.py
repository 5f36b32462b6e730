"""Originals engraved anew: other barlines, repeat signs, other hands, with the truth kept."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate

from benchmarks.pairing.page import Sound, Writer, written
from benchmarks.pairing.pair import Pair, Source, Step, paired, sources, straight
from redstave.model.line import WORKING_ORCHESTRA
from redstave.model.score import Bar, Mark, Score
from redstave.players import play


@dataclass(frozen=True)
class Engraving:
    """A score of the same music, and which of its tones each tone of the music has become.

    `others` come from none.
    """

    score: Score
    tones: Mapping[int, tuple[int, ...]]
    others: frozenset[int]


def by_hands(some: Iterable[Source]) -> list[Sound]:
    """Return tones as two hands play them."""
    return [
        Sound(
            f"Piano/{one.hand}",
            one.start,
            one.stop,
            one.midi,
            frozenset((one.at,)),
            one.stop <= one.start,
        )
        for one in some
    ]


def engraved(
    sounds: Sequence[Sound], lengths: Sequence[int], quarter: int, writer: Writer = written
) -> Engraving:
    """Engrave sounds in bars of the given lengths (ticks)."""
    score, ids = writer("original", sounds, lengths, quarter)
    return engraving_of(
        score, ((of, id_) for one, id_ in zip(sounds, ids, strict=True) for of in one.sources)
    )


def laid_out(original: Score, sounds: Sequence[Sound], steps: Sequence[Step]) -> Engraving:
    """Engrave sounds with the bars of the original in another order or in other note values."""
    pair = paired("original", original, sounds, steps)
    return engraving_of(pair.entry, pair.links)


def bare(original: Score) -> Score:
    """Return an original with nothing on its page but notes."""
    return laid_out(original, by_hands(sources(original)), straight(original)).score


def engraving_of(score: Score, of: Iterable[tuple[int, str]]) -> Engraving:
    """Return a score with the notes that tones of the music have become."""
    note = {one.notes[0]: at for at, one in enumerate(play(score, WORKING_ORCHESTRA).tones)}
    tones: dict[int, list[int]] = defaultdict(list)
    for at, id_ in of:
        tones[at].append(note[id_])
    known = {at for some in tones.values() for at in some}
    others = frozenset(note.values()) - known
    return Engraving(score, {at: tuple(some) for at, some in tones.items()}, others)


def beside(pair: Pair, new: Engraving, bars: Iterable[tuple[int, int]]) -> Pair:
    """Return a pair with its original engraved anew; what is not engraved is no link."""
    links = frozenset((other, id_) for at, id_ in pair.links for other in new.tones.get(at, ()))
    everything = {other for some in new.tones.values() for other in some}
    known, orphans = {id_ for _, id_ in links}, {id_ for _, id_ in pair.links}
    return replace(
        pair,
        original=new.score,
        bars=frozenset(bars),
        links=links,
        left_out=frozenset(everything - {at for at, _ in links}),
        added=pair.added | (orphans - known),
        moot=frozenset((other, id_) for at, id_ in pair.moot for other in new.tones.get(at, ())),
    )


def barred(score: Score, lengths: Sequence[int]) -> Score:
    """Return a bare score with other barlines; ids of notes stay as they are."""
    starts = list(accumulate(lengths, initial=0))
    bars = tuple(
        Bar(at, str(at + 1), start, length)
        for at, (start, length) in enumerate(zip(starts, lengths, strict=False))
    )
    parts = []
    for part in score.parts:
        notes = []
        for note in part.notes:
            when = score.bars[note.bar].start + note.offset
            bar = max(at for at in range(len(lengths)) if starts[at] <= when)
            notes.append(note._replace(bar=bar, offset=when - starts[bar]))
        parts.append(replace(part, notes=tuple(notes)))
    return replace(score, bars=bars, parts=tuple(parts))


def with_repeat(score: Score, first: int, last: int, ending: bool = False) -> Score:
    """Print repeat signs around bars `first` to `last`.

    With an ending, `last` is the first ending and the bar after it the second.
    """
    signs = [("repeat", "forward", first, ""), ("repeat", "backward", last, "")]
    if ending:
        signs += [("ending", "start", last, "1"), ("ending", "stop", last, "1")]
        signs += [("ending", "start", last + 1, "2"), ("ending", "discontinue", last + 1, "2")]
    part = score.parts[0]
    marks = tuple(
        Mark(f"{part.id}.{bar}.m{at}", kind, name, 0, bar, 0, 1, text=text)
        for at, (kind, name, bar, text) in enumerate(signs)
    )
    marks = tuple(sorted((*part.marks, *marks), key=lambda mark: (mark.bar, mark.offset)))
    return replace(score, parts=(replace(part, marks=marks), *score.parts[1:]))
