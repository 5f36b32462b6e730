"""An original, an entry made from it, and the truth about the two."""

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import NamedTuple

from benchmarks.pairing.page import Sound, written
from redstave.model.line import WORKING_ORCHESTRA
from redstave.model.score import Score
from redstave.players import play


@dataclass(frozen=True)
class Pair:
    """A pair with its truth.

    `bars` are (bar of the entry, bar of the original), indices; `links` are (tone of the original,
    note id of the entry); `left_out` are tones of the original, `added` note ids of the entry.
    """

    name: str
    original: Score
    entry: Score
    transposition: int
    bars: frozenset[tuple[int, int]]
    links: frozenset[tuple[int, str]]
    left_out: frozenset[int]
    added: frozenset[str]


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
) -> Pair:
    """Lay out sounds, timed as in the original, by bars of the entry, and write the entry.

    `foreign` sounds fill the bars that come from nowhere, counted from the start of each.
    """
    bars = original.bars
    lengths = [round((bars[one.bar or 0].length) * one.stretch) for one in steps]
    by_bar: dict[int, list[Sound]] = {}
    starts = [bar.start for bar in bars]
    for sound in sounds:
        by_bar.setdefault(bisect_right(starts, sound.start) - 1, []).append(sound)
    laid: list[Sound] = []
    begin = 0
    for at, (step, length) in enumerate(zip(steps, lengths, strict=True)):
        here = foreign if step.bar is None else by_bar.get(step.bar, ())
        origin = 0 if step.bar is None else starts[step.bar]
        room = _room(steps, lengths, at)
        laid.extend(_laid(here, origin, begin, room, step.stretch))
        begin += length
    moved = [one._replace(midi=one.midi + transposition) for one in laid]
    entry, ids = written(name, moved, lengths, original.ticks_per_quarter)
    links = {(of, ids[at]) for at, one in enumerate(moved) for of in one.sources}
    known = {one.at for one in sources(original)}
    return Pair(
        name,
        original,
        entry,
        transposition,
        frozenset((at, step.bar) for at, step in enumerate(steps) if step.bar is not None),
        frozenset(links),
        frozenset(known - {of for of, _ in links}),
        frozenset(ids[at] for at, one in enumerate(moved) if not one.sources),
    )


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


def _laid(
    here: Iterable[Sound], origin: int, begin: int, room: int, stretch: Fraction
) -> Iterable[Sound]:
    for one in here:
        start = round((one.start - origin) * stretch)
        stop = min(room, round((one.stop - origin) * stretch))
        if stop > start or one.grace:
            yield one._replace(start=begin + start, stop=begin + stop)


def straight(original: Score) -> list[Step]:
    """Return the bars of an original as they stand."""
    return [Step(bar.index) for bar in original.bars]
