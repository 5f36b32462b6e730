"""Form and colour: what each section is scored in, and how neighbouring sections differ.

Every figure is read from the page alone: who is told to play, how high, how loud, in what rhythm.
Shares are of time; levels are numbered ppp 1 to fff 8; heights are MIDI numbers as they sound.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from redstave.analysis.analysis import Analysis
from redstave.analysis.columns import columns
from redstave.analysis.patterns import Pattern, patterns
from redstave.analysis.sections import Section, colours, sounding_share

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

TUTTI = 0.9  # a bar is tutti when this share of the parts of the piece sound in it (ours)
NARROW = (0.1, 0.9)  # what the width of a register leaves out at either end, in shares of time


@dataclass(frozen=True, slots=True)
class Colour:
    """One section and what it is scored in.

    `instruments` and `families` tell how much of the time each sounds, most first; `lines` is the
    mean number of lines that sound at once and `attacks` how many different moments a quarter note
    begin a tone. Of the time of all tones a tenth lies below `low` and a tenth above `high`,
    `centre` is the mean. `levels` has the mean written level of each bar, 0 where nobody plays;
    `tutti` is the share of bars in which nearly all parts of the piece play. `pattern` is the
    rhythm that accompanies most bars of the section, None where none does.
    """

    section: Section
    instruments: tuple[tuple[str, float], ...]
    families: tuple[tuple[str, float], ...]
    lines: float
    attacks: float
    low: float
    centre: float
    high: float
    levels: tuple[float, ...]
    tutti: float
    pattern: Pattern | None

    @property
    def level(self) -> float:
        """The mean written level of the bars in which anybody plays; 0 where nobody does."""
        played = [level for level in self.levels if level > 0.0]
        return sum(played) / len(played) if played else 0.0


@dataclass(frozen=True, slots=True)
class Turn:
    """From one section to the next: what changes.

    `distance` of the colours is 0 (the same instruments in the same shares) to 1 (none in common);
    `height` is in semitones, `level` in steps, `density` the ratio of lines at once, `families` are
    those that come (+) or go (−).
    """

    distance: float
    height: float
    level: float
    density: float
    families: tuple[str, ...]


@dataclass(frozen=True)
class Form:
    """A piece as its sections.

    `turns` has one entry between each two neighbours. `lines` and `levels` are by bar: the mean
    number of lines that sound, and the mean written level; `active` is how many lines play at all;
    `rhythms` has the accompaniment of each bar, None where there is none.
    """

    sections: tuple[Colour, ...]
    turns: tuple[Turn, ...]
    lines: tuple[float, ...]
    levels: tuple[float, ...]
    active: int
    rhythms: tuple[Pattern | None, ...]

    @property
    def longest_pattern(self) -> int:
        """For how many bars on end one rhythm accompanies at most."""
        return max((one.bars for one in self.rhythms if one is not None), default=0)

    @property
    def tutti(self) -> float:
        """The share of bars in which nearly all parts of the piece play."""
        bars = sum(one.section.last - one.section.first + 1 for one in self.sections)
        full = sum(one.tutti * (one.section.last - one.section.first + 1) for one in self.sections)
        return full / bars if bars else 0.0


def form(analysis: Analysis, found: Sequence[Section]) -> Form:
    """Return what each of the given sections is scored in; the score must have sounding tones."""
    bars = len(analysis.score.bars)
    share = sounding_share(analysis.slices, analysis.playing, bars)
    levels = bar_levels(analysis)
    active = int(share.any(axis=0).sum())
    full = _full(analysis, share > 0.0)
    kept = patterns(analysis)
    rows = _Rows.of(analysis)
    scored = tuple(
        Colour(
            section=one,
            instruments=_shares(analysis, share, one, "instrument"),
            families=_shares(analysis, share, one, "family"),
            lines=rows.lines(one),
            attacks=rows.attacks(analysis, one),
            low=rows.height(one, NARROW[0]),
            centre=rows.centre(one),
            high=rows.height(one, NARROW[1]),
            levels=tuple(levels[one.first : one.last + 1].tolist()),
            tutti=float(full[one.first : one.last + 1].mean()),
            pattern=_main(kept, one),
        )
        for one in found
    )
    colour = colours(share, tuple(found), analysis.playing)
    turns = tuple(
        _turn(scored[at], scored[at + 1], float(colour[at] @ colour[at + 1]))
        for at in range(len(scored) - 1)
    )
    lines = tuple(share.sum(axis=1).tolist())
    return Form(scored, turns, lines, tuple(levels.tolist()), active, kept)


def bar_levels(analysis: Analysis) -> Floats:
    """Return the mean written level of each bar, weighted by time; 0 where nobody plays."""
    slices, tones = analysis.slices, columns(analysis.playing.tones)
    level = ((tones.level + tones.level_stop) / 2)[slices.row_tone]
    bar, count = slices.bar[slices.row_slice], len(analysis.score.bars)
    seconds = np.bincount(bar, slices.row_seconds, minlength=count)
    summed = np.bincount(bar, level * slices.row_seconds, minlength=count)
    found: Floats = summed / np.maximum(seconds, 1e-9)
    return found


def _full(analysis: Analysis, sounds: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Return the bars in which nearly all parts play that play at all; `sounds` [bars, lines].

    Parts are counted, not lines: where two share a stave and only one plays, the stave is in use.
    """
    part_of = [line.part for line in analysis.playing.lines]
    parts = np.array([[one == part for one in dict.fromkeys(part_of)] for part in part_of])
    playing = (sounds.astype(np.int64) @ parts.astype(np.int64)) > 0
    found: NDArray[np.bool_] = playing.sum(axis=1) >= TUTTI * playing.any(axis=0).sum()
    return found


def _shares(
    analysis: Analysis, share: Floats, one: Section, field: str
) -> tuple[tuple[str, float], ...]:
    """Return how much of a section each instrument or family sounds, most first.

    An instrument of which several lines play counts with the one that plays most.
    """
    spent = share[one.first : one.last + 1].mean(axis=0)
    most: dict[str, float] = {}
    for line, time in zip(analysis.playing.lines, spent.tolist(), strict=True):
        name = getattr(line, field)
        most[name] = max(most.get(name, 0.0), time)
    heard = [(name, time) for name, time in most.items() if name and time > 0.0]
    return tuple(sorted(heard, key=lambda item: (-item[1], item[0])))


@dataclass(frozen=True)
class _Rows:
    """The rows of the slices, with what is asked of them here."""

    bar: Ints
    seconds: Floats
    midi: Floats
    pitched: NDArray[np.bool_]
    slice_bar: Ints
    slice_seconds: Floats
    attack_ticks: Ints
    attack_bars: Ints

    @classmethod
    def of(cls, analysis: Analysis) -> "_Rows":
        slices, tones = analysis.slices, columns(analysis.playing.tones)
        ticks = np.unique(tones.start[tones.stop > tones.start])
        starts = np.array([bar.start for bar in analysis.score.bars], dtype=np.int64)
        return cls(
            slices.bar[slices.row_slice],
            slices.row_seconds,
            tones.midi[slices.row_tone],
            ~tones.unpitched[slices.row_tone],
            slices.bar,
            slices.seconds,
            ticks,
            np.searchsorted(starts, ticks, side="right") - 1,
        )

    def lines(self, one: Section) -> float:
        """Return how many tones sound at once, on average over the time that anything sounds."""
        total = self.slice_seconds[_within(self.slice_bar, one)].sum()
        return float(self.seconds[_within(self.bar, one)].sum() / max(total, 1e-9))

    def attacks(self, analysis: Analysis, one: Section) -> float:
        """Return how many different moments a quarter note begin a tone."""
        ticks = sum(bar.length for bar in analysis.score.bars[one.first : one.last + 1])
        quarters = ticks / analysis.score.ticks_per_quarter
        return float(_within(self.attack_bars, one).sum() / max(quarters, 1e-9))

    def centre(self, one: Section) -> float:
        """Return the mean height, weighted by time; 0 where nothing pitched sounds."""
        chosen = _within(self.bar, one) & self.pitched
        weight = self.seconds[chosen].sum()
        return float((self.midi[chosen] * self.seconds[chosen]).sum() / max(weight, 1e-9))

    def height(self, one: Section, share: float) -> float:
        """Return the height below which this share of the time of all tones lies."""
        chosen = np.flatnonzero(_within(self.bar, one) & self.pitched)
        if chosen.size == 0:
            return 0.0
        order = chosen[np.argsort(self.midi[chosen], kind="stable")]
        time = np.cumsum(self.seconds[order])
        return float(self.midi[order][np.searchsorted(time, share * time[-1])])


def _within(bar: Ints, one: Section) -> NDArray[np.bool_]:
    found: NDArray[np.bool_] = (bar >= one.first) & (bar <= one.last)
    return found


def _main(kept: Sequence[Pattern | None], one: Section) -> Pattern | None:
    """Return the pattern that accompanies most bars of a section, if it does half of them."""
    inside = [pattern for pattern in kept[one.first : one.last + 1] if pattern is not None]
    if not inside:
        return None
    rhythms = [pattern.onsets for pattern in inside]
    best = max(dict.fromkeys(rhythms), key=rhythms.count)
    if 2 * rhythms.count(best) < one.last - one.first + 1:
        return None
    return max((one for one in inside if one.onsets == best), key=lambda pattern: pattern.bars)


def _turn(before: Colour, here: Colour, likeness: float) -> Turn:
    were, are = dict(before.families), dict(here.families)
    come = [f"+{name}" for name in are if name not in were]
    gone = [f"−{name}" for name in were if name not in are]
    return Turn(
        distance=max(0.0, 1.0 - likeness),
        height=here.centre - before.centre,
        level=here.level - before.level,
        density=here.lines / max(before.lines, 1e-9),
        families=(*come, *gone),
    )
