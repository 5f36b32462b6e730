"""How much of the truth about a pair is found."""

from collections import defaultdict
from collections.abc import Container, Iterable, Sequence
from typing import NamedTuple

from benchmarks.pairing.pair import Link, Pair, sources
from redstave.model.line import WORKING_ORCHESTRA, Playing
from redstave.model.match import NO_BAR, Match
from redstave.model.score import Score
from redstave.original import match
from redstave.players import play


class Count(NamedTuple):
    """What is true, what was said, and what of it was right."""

    true: int
    said: int
    right: int

    def __add__(self, other: tuple[int, ...]) -> "Count":  # type: ignore[override]
        return Count(*(one + more for one, more in zip(self, other, strict=True)))

    @property
    def precision(self) -> float:
        """The share of what was said that is right; 1 where nothing was said."""
        return self.right / self.said if self.said else 1.0

    @property
    def recall(self) -> float:
        """The share of what is true that was said; 1 where nothing is true."""
        return self.right / self.true if self.true else 1.0

    @property
    def f1(self) -> float:
        """The harmonic mean of precision and recall."""
        return 2 * self.right / (self.true + self.said) if self.true + self.said else 1.0


NOTHING = Count(0, 0, 0)


class Found(NamedTuple):
    """The counts of one pair. `bars` counts bars of the entry, `right` those with the right one."""

    bars: Count
    links: Count
    left_out: Count
    added: Count

    def __add__(self, other: tuple[Count, ...]) -> "Found":  # type: ignore[override]
        return Found(*(one + more for one, more in zip(self, other, strict=True)))


NONE_FOUND = Found(NOTHING, NOTHING, NOTHING, NOTHING)


def compare(pair: Pair) -> Found:
    """Match a pair and count."""
    playing = play(pair.entry, WORKING_ORCHESTRA)
    return counted(pair, playing, match(pair.entry, playing, pair.original))


def counted(pair: Pair, playing: Playing, found: Match) -> Found:
    """Count what a match says truly of a pair.

    What one hand of the original strikes together on one pitch class and holds equally long is one
    tone, unison or octave: no page tells which of two octaves a third one doubles. So are the
    players of one note of the entry.
    """
    note = [one.notes[0] for one in playing.tones]
    key = _keys(pair.original)
    of = {one.notes[0]: at for at, one in enumerate(play(pair.original, WORKING_ORCHESTRA).tones)}
    index = [of[one.notes[0]] for one in found.source]
    said = {(key[index[one.source]], note[one.tone]) for one in found.carriers}
    true = {(key[at], id_) for at, id_ in _read(pair, key, said)}
    moot = {(key[at], id_) for at, id_ in pair.moot} - true
    carried = {at for at, _ in true}
    lost = {key[at] for at in pair.left_out} - carried - {at for at, _ in moot}
    new = pair.added - {id_ for _, id_ in moot}
    no_loss, not_new = {at for at, _ in moot} - carried, pair.added - new
    return Found(
        _bars(pair, found),
        _count(true, said - moot),
        _count(
            lost,
            {key[index[at]] for at in found.left_out} - {at for at, _ in said} - no_loss,
        ),
        _count(new, {note[at] for at in found.added} - {id_ for _, id_ in said} - not_new),
    )


def _read(pair: Pair, key: Sequence[object], said: Container[object]) -> Iterable[Link]:
    """Yield the true links; where there are several readings, those of the one most said."""
    yield from pair.links - {link for some in pair.readings for link in some[0]}
    for some in pair.readings:
        yield from max(some, key=lambda one: sum((key[at], id_) in said for at, id_ in one))


def _count(true: Iterable[object], said: Iterable[object]) -> Count:
    one, other = set(true), set(said)
    return Count(len(one), len(other), len(one & other))


def _keys(original: Score) -> list[object]:
    hand = {one.at: one.hand for one in sources(original)}
    return [
        (one.start, one.stop, round(one.midi) % 12, hand.get(at))
        for at, one in enumerate(play(original, WORKING_ORCHESTRA).tones)
    ]


def _bars(pair: Pair, found: Match) -> Count:
    """Count the bars of the entry for which exactly the right bars are named.

    A bar of the original that is note for note another one is as right as that.
    """
    same = _contents(pair.original)
    true: dict[int, set[object]] = defaultdict(set)
    said: dict[int, set[object]] = defaultdict(set)
    for entry, original in pair.bars:
        true[entry].add(same[original])
    for one in found.bars:
        if NO_BAR not in one[:2]:
            said[one.entry].add(same[one.original])
    bars = set(range(len(pair.entry.bars))) - pair.moot_bars
    right = sum(true[at] == said[at] for at in bars)
    return Count(len(bars), len(bars), right)


def _contents(score: Score) -> list[object]:
    """Return what stands in each bar, comparable."""
    found: list[list[tuple[int, int, int]]] = [[] for _ in score.bars]
    for tone in play(score, WORKING_ORCHESTRA).tones:
        start = tone.start - score.bars[tone.bar].start
        found[tone.bar].append((start, tone.stop - tone.start, round(tone.midi)))
    return [tuple(sorted(one)) for one in found]
