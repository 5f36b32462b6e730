"""Swells in their surroundings: where each begins from, and what the page gives as its goal.

A swell is on its way to the next note struck at or after its end; a level up to a beat after that
note still counts as its goal, because engravers place it where there is room.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from typing import NamedTuple

from redstave.analysis.dynamics import Event, Kind, Swell, events, swells
from redstave.analysis.entries import entries
from redstave.analysis.page import Chord, chords
from redstave.model.score import Part, Score


class Course(NamedTuple):
    """Swells that follow each other without a pause, with what stands around them.

    `chords` sound under them; `arrival` is the first chord struck at or after the end (None at the
    end of the piece) and `silence` the rest before it in ticks; `goals` are the directions about
    loudness after the beginning and up to a beat after the arrival; `before` are those up to the
    beginning, without accents, since the beginning of the course before this one or since the
    last rest of a bar, whichever is later: older ones are forgotten.
    """

    swells: tuple[Swell, ...]
    chords: tuple[Chord, ...]
    arrival: Chord | None
    silence: int
    before: tuple[Event, ...]
    goals: tuple[Event, ...]

    @property
    def start(self) -> int:
        """Where the first swell begins, in ticks."""
        return self.swells[0].start

    @property
    def stop(self) -> int:
        """Where the last swell ends, in ticks."""
        return max(swell.stop for swell in self.swells)

    @property
    def turns(self) -> bool:
        """Whether the course both rises and falls: it comes back by itself."""
        return len({swell.rising for swell in self.swells}) > 1

    @property
    def rising(self) -> bool:
        """Whether the last swell rises."""
        return self.swells[-1].rising


def courses(score: Score, part: Part) -> tuple[Course, ...]:
    """Return the swells of a part, those that follow each other together.

    One follows another within a beat; within a bar too if it turns back and the page says nothing
    in between.
    """
    beat = score.ticks_per_quarter
    struck, told = chords(score, part), events(score, part)
    rests = [
        entry.chord.start - entry.rest
        for entry in entries(struck)
        if entry.rest >= score.bars[entry.chord.head.bar].length
    ]
    found: list[Course] = []
    for chain in _chains(score, swells(score, part), [event.tick for event in told]):
        rest = bisect_right(rests, chain[0].start) - 1
        since = max(found[-1].start + 1 if found else 0, rests[rest] if rest >= 0 else 0)
        found.append(_course(chain, struck, told, since, beat))
    return tuple(found)


def _chains(score: Score, found: Sequence[Swell], told: Sequence[int]) -> list[tuple[Swell, ...]]:
    chains: list[tuple[Swell, ...]] = []
    for swell in found:
        if chains and _follows(score, chains[-1], swell, told):
            chains[-1] = (*chains[-1], swell)
        else:
            chains.append((swell,))
    return chains


def _follows(score: Score, chain: tuple[Swell, ...], swell: Swell, told: Sequence[int]) -> bool:
    stop = max(one.stop for one in chain)
    if swell.start - stop <= score.ticks_per_quarter:
        return True
    silent = bisect_left(told, stop) == bisect_right(told, swell.start)
    near = swell.start - stop <= score.bars[swell.bar].length
    return near and silent and swell.rising != chain[-1].rising


def _course(
    chain: tuple[Swell, ...], struck: Sequence[Chord], told: Sequence[Event], since: int, beat: int
) -> Course:
    start, stop = chain[0].start, max(swell.stop for swell in chain)
    later = bisect_left(struck, stop, key=lambda chord: chord.start)
    arrival = struck[later] if later < len(struck) else None
    under = tuple(chord for chord in struck[:later] if chord.stop > start)
    sounding_until = max((chord.stop for chord in under), default=start)
    end = (arrival.start if arrival else stop) + beat
    return Course(
        chain,
        under,
        arrival,
        max(0, arrival.start - sounding_until) if arrival else 0,
        tuple(e for e in told if since <= e.tick <= start and e.kind is not Kind.ACCENT),
        tuple(e for e in told if start < e.tick <= end),
    )
