"""Choirs: lines of one family that move in the same rhythm through a whole bar.

The bar is the unit because a reader sees it as one: the same attacks and the same lengths from
barline to barline. A line with a single note in the bar moves with everybody and with nobody; such
bars only lengthen a choir, they do not make one.
"""

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Iterable, Iterator
from typing import NamedTuple

from redstave.analysis.dynamics import events
from redstave.model.line import Playing, Tone
from redstave.model.score import Score

Rhythm = tuple[tuple[int, int], ...]
CHOIR_FAMILIES = frozenset({"woodwind", "brass", "strings"})


class Voice(NamedTuple):
    """What one line of a choir does in one bar.

    `level` is None where it changes, where no printed level says it (a hairpin without a goal), or
    where it was printed before the line's last rest of a bar: a level that old is forgotten, and
    says nothing about what is meant here.
    """

    line: int
    tones: tuple[Tone, ...]
    level: float | None
    top: float  # highest sounding pitch, as a MIDI number


class Choir(NamedTuple):
    """Lines of one family in one bar with one rhythm, in the order of the lines."""

    bar: int
    family: str
    attacks: int
    voices: tuple[Voice, ...]


def choirs(score: Score, playing: Playing) -> Iterator[Choir]:
    """Yield the choirs of every bar, bars in order; a choir has at least two lines."""
    for bar, voices in _by_bar(score, playing):
        together: dict[tuple[str, Rhythm], list[Voice]] = defaultdict(list)
        for voice in voices:
            family = playing.lines[voice.line].family
            if family in CHOIR_FAMILIES:
                together[family, _rhythm(voice.tones)].append(voice)
        for (family, rhythm), members in together.items():
            if len(members) > 1:
                yield Choir(bar, family, len(rhythm), tuple(members))


def _by_bar(score: Score, playing: Playing) -> Iterator[tuple[int, list[Voice]]]:
    struck: dict[int, dict[int, list[Tone]]] = defaultdict(lambda: defaultdict(list))
    for tone in playing.tones:
        if not tone.unpitched:
            struck[tone.bar][tone.line].append(tone)
    printed = _printed(score)
    silent_from: dict[int, int] = defaultdict(int)
    rested: dict[int, int] = defaultdict(int)
    for bar in sorted(struck):
        voices = []
        for line, tones in sorted(struck[bar].items()):
            start = tones[0].start
            if start - silent_from[line] >= score.bars[bar].length:
                rested[line] = silent_from[line]
            silent_from[line] = max(tone.stop for tone in tones)
            set_at = _set_at(playing, line, start)
            fresh = set_at >= rested[line] and set_at in printed[playing.lines[line].part]
            level = _level(tones) if fresh else None
            voices.append(Voice(line, tuple(tones), level, max(tone.midi for tone in tones)))
        yield bar, voices


def _printed(score: Score) -> dict[str, frozenset[int]]:
    """Return the ticks at which each part reads a level with a name."""
    return {
        part.id: frozenset(event.tick for event in events(score, part) if event.level is not None)
        for part in score.parts
    }


def _set_at(playing: Playing, line: int, tick: int) -> int:
    """Return since when the level in force at a tick has held."""
    points = playing.levels[playing.lines[line].id]
    return points[max(0, bisect_right(points, tick, key=lambda point: point.tick) - 1)].tick


def _level(tones: Iterable[Tone]) -> float | None:
    """Return the one level all tones keep from end to end; None where there is none."""
    levels = {
        level if tone.level_known else None
        for tone in tones
        for level in (tone.level, tone.level_stop)
    }
    return levels.pop() if len(levels) == 1 else None


def _rhythm(tones: Iterable[Tone]) -> Rhythm:
    return tuple(sorted({(tone.start, tone.stop) for tone in tones}))
