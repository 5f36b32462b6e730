"""Choirs: lines of one family that move in the same rhythm through a whole bar.

The bar is the unit because a reader sees it as one: the same attacks and the same lengths from
barline to barline. A line with a single note in the bar moves with everybody and with nobody; such
bars only lengthen a choir, they do not make one.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from typing import NamedTuple

from redstave.model.line import Playing, Tone

Rhythm = tuple[tuple[int, int], ...]
CHOIR_FAMILIES = frozenset({"woodwind", "brass", "strings"})


class Voice(NamedTuple):
    """What one line of a choir does in one bar; `level` is None where it changes or is unknown."""

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


def choirs(playing: Playing) -> Iterator[Choir]:
    """Yield the choirs of every bar, bars in order; a choir has at least two lines."""
    for bar, voices in _by_bar(playing):
        together: dict[tuple[str, Rhythm], list[Voice]] = defaultdict(list)
        for voice in voices:
            family = playing.lines[voice.line].family
            if family in CHOIR_FAMILIES:
                together[family, _rhythm(voice.tones)].append(voice)
        for (family, rhythm), members in together.items():
            if len(members) > 1:
                yield Choir(bar, family, len(rhythm), tuple(members))


def _by_bar(playing: Playing) -> Iterator[tuple[int, list[Voice]]]:
    struck: dict[int, dict[int, list[Tone]]] = defaultdict(lambda: defaultdict(list))
    for tone in playing.tones:
        if not tone.unpitched:
            struck[tone.bar][tone.line].append(tone)
    for bar in sorted(struck):
        yield bar, [_voice(line, tuple(tones)) for line, tones in sorted(struck[bar].items())]


def _voice(line: int, tones: tuple[Tone, ...]) -> Voice:
    return Voice(line, tones, _level(tones), max(tone.midi for tone in tones))


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
