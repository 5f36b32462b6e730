"""Where a player plays and rests: passages, and the longest stretch without a rest."""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

from redstave.model.line import TempoMap, Tone
from redstave.model.score import Part, Score
from redstave.players.stand.view import Rest, Stretch

# A level should be told again after about two bars or five seconds of rest (reference texts on
# notation, common practice): so long a rest parts two passages, if two bars are no mere moment.
LONG_BARS = 2
LONG_SECONDS = 5.0
MOMENT_SECONDS = 2.5  # our assumption, no source
BREATH_SECONDS = 0.25  # a shorter gap is no breath; our assumption, no source


class Run(NamedTuple):
    """The tones of one passage, by start, and the rest before it; `before` and `stop` in ticks."""

    tones: tuple[Tone, ...]
    rest: Rest
    before: int
    stop: int


def runs(score: Score, tempo: TempoMap, tones: Sequence[Tone]) -> Iterator[Run]:
    """Yield the passages of a player; `tones` are sorted by start."""
    gathered: list[Tone] = []
    before = stop = 0
    rest = Rest(0, 0.0)
    for tone in tones:
        gap = rest_between(score, tempo, stop, tone.start)
        if gathered and _is_long(gap):
            yield Run(tuple(gathered), rest, before, stop)
            gathered, before = [], stop
        if not gathered:
            rest = gap
        gathered.append(tone)
        stop = max(stop, tone.stop)
    if gathered:
        yield Run(tuple(gathered), rest, before, stop)


def _is_long(rest: Rest) -> bool:
    if rest.bars >= LONG_BARS:
        return rest.seconds >= MOMENT_SECONDS
    return rest.seconds >= LONG_SECONDS


def rest_between(score: Score, tempo: TempoMap, stop: int, start: int) -> Rest:
    """Return the rest from the end of one note to the beginning of the next."""
    if start <= stop:
        return Rest(0, 0.0)
    first = score.bar_at(stop)
    first += score.bars[first].start < stop
    return Rest(
        max(0, score.bar_at(start) - first), tempo.seconds(start) - tempo.seconds_before(stop)
    )


def longest_stretch(score: Score, part: Part, tones: Sequence[Tone]) -> Stretch | None:
    """Return the longest playing without a rest or a breath mark; `tones` are sorted by start."""
    if not tones:
        return None
    breaths = {mark.note for mark in part.marks_of("breath")}
    best: Stretch | None = None
    begun = tones[0]
    last = tones[0]
    for tone, after in pairwise([*tones, None]):
        assert tone is not None
        last = tone if tone.stop_s >= last.stop_s else last
        breathes = after is None or after.start_s - last.stop_s >= BREATH_SECONDS
        if not breathes and not breaths.intersection(last.notes):
            continue
        seconds = last.stop_s - begun.start_s
        if best is None or seconds > best.seconds:
            end = score.bar_at(max(last.start, last.stop - 1))
            best = Stretch(begun.bar, end, seconds)
        if after is not None:
            begun = last = after
    return best
