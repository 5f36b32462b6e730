"""Brass at par: resting parts are given chords in the octave of the tune, marked as loud."""

from collections.abc import Iterator
from functools import partial
from itertools import pairwise
from math import floor
from statistics import fmean

from lxml import etree

from benchmarks.seeding.kind import Place
from benchmarks.seeding.levels import bars_of, heights, holds, on_top, steady
from benchmarks.seeding.page import Copy, Element, Master, dynamics, set_written
from redstave.model.score import Part

QUARTERS = 8
MOST_BRASS, LEAST_BRASS = 4, 2
LOUD = 5.0  # mf: softer brass does no harm
Chords = tuple[tuple[Part, tuple[float, ...]], ...]  # the sounding pitch of each part by bar


def brass_at_par(of: Master) -> Iterator[Place]:
    """Let resting brass hold the harmony in the octave of the tune, marked as loud as the tune."""
    for tune in of.parts("strings", "woodwind"):
        for bar in of.notes[tune.id]:
            bars = bars_of(of, bar, QUARTERS)
            level = steady(of, tune.id, bar)
            if level is None or level < LOUD or not _leads(of, tune.id, bars):
                continue
            chords = _chords(of, tune.id, bars)
            if len(chords) >= LEAST_BRASS:
                plant = partial(_hold, chords=chords, bars=bars, level=level)
                parts = (*(part.id for part, _ in chords), tune.id)
                yield Place(bars[0], bars[-1], parts, plant)


def _leads(of: Master, part: str, bars: range) -> bool:
    """Whether a part moves all the time above everybody else, at one level."""
    inside = all(at < len(of.score.bars) for at in bars)
    if not inside or not holds(of, part, bars) or not on_top(of, part, bars):
        return False
    levels = {of.level(part, of.tick(note)) for at in bars for note in of.notes[part][at]}
    return len(levels) == 1 and None not in levels


def _chords(of: Master, tune: str, bars: range) -> Chords:
    """Return what each resting brass part is to hold, one note a bar, from the top."""
    resting = [part for part in of.parts("brass") if _rests(part, bars)][:MOST_BRASS]
    top = fmean(heights(of, tune, bars))
    harmony = [_harmony(of, tune, at, top) for at in bars]
    count = min([len(resting), *map(len, harmony)])
    if any(abs(one[0] - two[0]) > 12 for one, two in pairwise(harmony) if one and two):
        return ()
    return tuple(
        (part, tuple(chord[place] for chord in harmony))
        for place, part in enumerate(resting[:count])
    )


def _rests(part: Part, bars: range) -> bool:
    """Whether a part has one rest in each bar and nothing else."""
    inside = [[note for note in part.notes if note.bar == at] for at in bars]
    return all(len(notes) == 1 and notes[0].kind == "rest" for notes in inside)


def _harmony(of: Master, tune: str, bar: int, top: float) -> list[float]:
    """Return the pitches of others at the beginning of a bar, folded below the tune's height."""
    start = of.score.bars[bar].start
    classes = {
        round(tone.midi) % 12
        for part, tones in of.tones.items()
        if part != tune
        for tone in tones
        if tone.start <= start < tone.stop and not tone.unpitched
    }
    highest = floor(top)
    return sorted((float(highest - (highest - one) % 12) for one in classes), reverse=True)


def _hold(copy: Copy, chords: Chords, bars: range, level: float) -> None:
    for part, pitches in chords:
        shift = next((mark.value for mark in part.marks_of("transposition")), 0.0)
        for at, pitch in zip(bars, pitches, strict=True):
            (element,) = copy.bars[part.id][at].findall("note")
            _sound(element, round(pitch - shift))
        (first,) = copy.bars[part.id][bars[0]].findall("note")
        direction = etree.Element("direction", placement="below")
        etree.SubElement(direction, "direction-type").append(dynamics(level))
        first.addprevious(direction)


def _sound(element: Element, written: int) -> None:
    """Make a note of a rest."""
    rest = element.find("rest")
    rest.addprevious(etree.Element("pitch"))
    element.remove(rest)
    set_written(element, written)
