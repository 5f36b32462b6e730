"""Tones of one line that belong together in time, as places on the page."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from itertools import groupby
from typing import NamedTuple

from redstave.model.finding import Spot
from redstave.model.line import Playing, Tone
from redstave.model.score import Score


class Stretch(NamedTuple):
    """Tones of one line without a long rest between them; `seconds` is how long they sound."""

    line: int
    tones: tuple[Tone, ...]
    seconds: float


def stretches(tones: Iterable[Tone], gap: int) -> Iterator[Stretch]:
    """Yield tones line by line; a rest of more than `gap` ticks parts two stretches."""
    of_line: dict[int, list[Tone]] = defaultdict(list)
    for tone in sorted(tones, key=lambda one: (one.start, one.midi)):
        of_line[tone.line].append(tone)
    for line, members in of_line.items():
        together: list[Tone] = []
        for tone in members:
            if together and tone.start - max(one.stop for one in together) > gap:
                yield _stretch(line, together)
                together = []
            together.append(tone)
        yield _stretch(line, together)


def _stretch(line: int, tones: list[Tone]) -> Stretch:
    return Stretch(line, tuple(tones), sum(tone.stop_s - tone.start_s for tone in tones))


def spot_of_tones(score: Score, playing: Playing, tones: Iterable[Tone]) -> Spot:
    """Return the place of some tones of one line: first to last bar, and all their notes."""
    ordered = sorted(tones, key=lambda tone: tone.start)
    notes = tuple(dict.fromkeys(note for tone in ordered for note in tone.notes))
    first = score.notes_by_id[ordered[0].notes[0]]
    last = max(score.notes_by_id[note].bar for note in notes)
    part = playing.lines[ordered[0].line].part
    return Spot(first.bar, first.offset, part, first.stave, last, notes)


def by_line(found: Iterable[Stretch], least_seconds: float) -> Iterator[list[Stretch]]:
    """Yield the stretches of at least so many seconds, those of one line together."""
    long_enough = [stretch for stretch in found if stretch.seconds >= least_seconds]
    for _, members in groupby(long_enough, key=lambda stretch: stretch.line):
        yield list(members)
