"""Swells in their surroundings: where each begins from, and what the page gives as its goal.

A swell is on its way to the next note struck at or after its end; a level up to a beat after that
note still counts as its goal, because engravers place it where there is room.
"""

from bisect import bisect_left
from collections.abc import Sequence
from typing import NamedTuple

from redstave.analysis.dynamics import Event, Kind, Swell, events, swells
from redstave.analysis.page import Chord, chords
from redstave.model.score import Part, Score


class Course(NamedTuple):
    """Swells that follow each other without a pause, with what stands around them.

    `chords` sound under them; `arrival` is the first chord struck at or after the end (None at the
    end of the piece) and `silence` the rest before it in ticks; `goals` are the directions about
    loudness after the beginning and up to a beat after the arrival; `before` are those up to the
    beginning, without accents, since the beginning of the course before this one.
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
    """Return the swells of a part, those that follow within a beat of each other together."""
    beat = score.ticks_per_quarter
    struck, told = chords(score, part), events(score, part)
    found: list[Course] = []
    for chain in _chains(swells(score, part), beat):
        since = found[-1].start if found else -1
        found.append(_course(chain, struck, told, since, beat))
    return tuple(found)


def _chains(found: Sequence[Swell], beat: int) -> list[tuple[Swell, ...]]:
    chains: list[tuple[Swell, ...]] = []
    for swell in found:
        if chains and swell.start - max(one.stop for one in chains[-1]) <= beat:
            chains[-1] = (*chains[-1], swell)
        else:
            chains.append((swell,))
    return chains


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
        tuple(e for e in told if since < e.tick <= start and e.kind is not Kind.ACCENT),
        tuple(e for e in told if start < e.tick <= end),
    )
