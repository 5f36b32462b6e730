"""Swells in their surroundings: where each begins from, and what the page gives as its goal.

A swell is on its way to the next note struck at or after its end; a level up to a beat after that
note still counts as its goal, because engravers place it where there is room. A beat is taken as a
dotted quarter, which is one in compound time and a little more than one in simple time.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from typing import NamedTuple

from redstave.analysis.dynamics import Event, Kind, Swell, events, swells
from redstave.analysis.entries import Entry, entries
from redstave.analysis.once import once_a_part
from redstave.analysis.page import Chord, chords
from redstave.model.score import Part, Score


class Course(NamedTuple):
    """Swells that follow each other without a pause, with what stands around them.

    `chords` sound under them; `entry` is the entry of the part they begin at, give or take a beat,
    None where they begin in the middle of a phrase; `arrival` is the first chord struck at or after
    the end (None at the end of the piece) and `silence` the rest before it in ticks; `goals` are
    the directions about loudness after the beginning and up to a beat after the arrival; `before`
    are those up to the
    beginning, without accents, since the beginning of the course before this one or since the
    last rest of a bar, whichever is later: older ones are forgotten.
    """

    swells: tuple[Swell, ...]
    chords: tuple[Chord, ...]
    entry: Entry | None
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


@once_a_part
def courses(score: Score, part: Part) -> tuple[Course, ...]:
    """Return the swells of a part, those that follow each other together.

    One follows another within a beat; within a bar too if it turns back and the page says nothing
    in between.
    """
    around = _Around.of(score, part)
    ticks = [event.tick for event in around.told]
    found: list[Course] = []
    for chain in _chains(score, swells(score, part), ticks):
        found.append(_course(chain, around, found[-1].start + 1 if found else 0))
    return tuple(found)


class _Around(NamedTuple):
    """What stands on the page of a part around its swells."""

    beat: int
    struck: tuple[Chord, ...]
    told: tuple[Event, ...]
    entries: tuple[Entry, ...]
    rests: tuple[int, ...]  # where rests of a bar and more begin

    @classmethod
    def of(cls, score: Score, part: Part) -> "_Around":
        """Read the page of a part."""
        struck = chords(score, part)
        found = tuple(entries(struck))
        rests = tuple(
            entry.chord.start - entry.rest
            for entry in found
            if entry.rest >= score.bars[entry.chord.head.bar].length
        )
        return cls(score.ticks_per_quarter * 3 // 2, struck, events(score, part), found, rests)

    def entry_at(self, tick: int) -> Entry | None:
        """Return the entry within a beat of a tick."""
        return next((e for e in self.entries if abs(e.chord.start - tick) <= self.beat), None)

    def rest_before(self, tick: int) -> int:
        """Return where the last rest of a bar or more before a tick begins, 0 if none."""
        index = bisect_right(self.rests, tick) - 1
        return self.rests[index] if index >= 0 else 0


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


def _course(chain: tuple[Swell, ...], around: _Around, since: int) -> Course:
    start, stop = chain[0].start, max(swell.stop for swell in chain)
    later = bisect_left(around.struck, stop, key=lambda chord: chord.start)
    arrival = around.struck[later] if later < len(around.struck) else None
    under = tuple(chord for chord in around.struck[:later] if chord.stop > start)
    sounding_until = max((chord.stop for chord in under), default=start)
    end = (arrival.start if arrival else stop) + around.beat
    since = max(since, around.rest_before(start))
    return Course(
        chain,
        under,
        around.entry_at(start),
        arrival,
        max(0, arrival.start - sounding_until) if arrival else 0,
        tuple(e for e in around.told if since <= e.tick <= start and e.kind is not Kind.ACCENT),
        tuple(e for e in around.told if start < e.tick <= end),
    )
