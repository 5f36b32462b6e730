"""What every line is there for: tune, counter, bass, inner, figure or pedal, and how sure that is.

Who has the tune is found first (`redstave.analysis.tune`). Each other strand is then asked how far
it looks like each of the other roles, from 0 to 1, by its place, its movement and its rhythm; it
has the role it looks most like, with the share of that role in all as confidence. The rules are
untrained, the numbers ours (no source), and lines of one strand have one role. The teacher's word
overrules everything.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from redstave.analysis.melody import melodies
from redstave.analysis.slices import Slices
from redstave.analysis.teacher import said
from redstave.analysis.traits import HABIT_QUARTERS, Traits
from redstave.analysis.tune import Tune, likeness
from redstave.model.line import Playing
from redstave.model.role import Role, RoleOverride

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]

ORDER = (Role.TUNE, Role.COUNTER, Role.BASS, Role.INNER, Role.FIGURE, Role.PEDAL)
NUMBER = {role: at for at, role in enumerate(ORDER)}

FILLING = 0.3  # how far any strand looks like an inner one: the role of what is nothing else
DOUBT = 0.15  # half of that: no rule is ever certain
STILL_FROM, STILL_TO = 4.0, 8.0  # quarters on one pitch: one bar is a long note, two are a pedal
LEAP_FROM, LEAP_TO = 3.0, 5.0  # semitones: a tune moves by steps and thirds, a broken chord wider
QUICK_FROM, QUICK_TO = 1.0, 2.0  # attacks a quarter: crotchets accompany, quavers figure
RIVAL_OCTAVES = 2.0  # a counter-melody falls short of the tune, height apart, by less than this


@dataclass(frozen=True)
class Roles:
    """For each line in each slice [slices, lines]: the role as a place in ORDER, -1 where silent.

    `confidence` is 0 to 1, and 1 where the teacher has spoken.
    """

    role: Ints
    confidence: Floats

    def rows(self, slices: Slices, line: Ints, role: Role) -> Flags:
        """Return the rows (one entry a row, `line` likewise) whose line has a role."""
        found: Flags = self.role[slices.row_slice, line] == NUMBER[role]
        return found


def roles(
    slices: Slices,
    playing: Playing,
    traits: Traits,
    tune: Tune,
    of_line: Ints,
    ticks_per_quarter: int,
    overrides: Sequence[RoleOverride] = (),
) -> Roles:
    """Return the role of every line in every slice; `of_line` [slices, lines] is its strand."""
    reach = HABIT_QUARTERS * ticks_per_quarter
    looks = np.zeros((len(ORDER), *of_line.shape))
    looks[NUMBER[Role.COUNTER]] = _counter(slices, playing, traits, tune, reach)
    looks[NUMBER[Role.BASS]] = _bass(slices, traits, reach)
    looks[NUMBER[Role.INNER]] = FILLING * (1.0 - looks[NUMBER[Role.BASS]])
    looks[NUMBER[Role.FIGURE]] = _figure(traits)
    looks[NUMBER[Role.PEDAL]] = _pedal(slices, playing, ticks_per_quarter)
    looks = np.stack([_by_strand(one, of_line) for one in looks])
    best = looks.argmax(axis=0)
    sure = looks.max(axis=0) / (looks.sum(axis=0) + DOUBT)
    leads = (of_line == tune.strand[:, None]) & (tune.strand >= 0)[:, None]
    role = np.where(leads, NUMBER[Role.TUNE], best)
    confidence = np.where(leads, tune.confidence[:, None], sure)
    for line, where, word in said(slices, playing, overrides):
        role[where, line], confidence[where, line] = NUMBER[word], 1.0
    silent = of_line < 0
    return Roles(np.where(silent, -1, role), np.where(silent, 0.0, confidence))


def _ramp(value: Floats, first: float, last: float) -> Floats:
    """Return 0 up to `first`, 1 from `last` on, and a straight line between."""
    return np.clip((value - first) / (last - first), 0.0, 1.0)


def _figure(traits: Traits) -> Floats:
    """Look for patterns, and for quick notes that leap as widely as a broken chord."""
    quick = _ramp(traits.attacks / 4.0, QUICK_FROM, QUICK_TO)  # four quarters are looked at
    found: Floats = np.maximum(traits.figured, quick * _ramp(traits.leap, LEAP_FROM, LEAP_TO))
    return found


def _bass(slices: Slices, traits: Traits, reach: float) -> Floats:
    """Return the share of its time near by in which the line holds the lowest pitch."""
    with np.errstate(invalid="ignore"):
        ground = np.fmin.reduce(traits.lowest, axis=1, initial=np.inf)
        lowest = traits.sounding & (traits.lowest <= ground[:, None])
    return _share_of_time(slices, lowest, traits.sounding, reach)


def _counter(slices: Slices, playing: Playing, traits: Traits, tune: Tune, reach: float) -> Floats:
    """Look for what is nearly as like a tune, height apart, and has a rhythm of its own."""
    own = likeness(traits) + traits.below
    at = np.arange(tune.line.size)
    best = own[at, tune.line] if own.size else np.zeros(tune.line.size)
    short = np.where(np.isfinite(best), best, np.inf)[:, None] - own
    alike = 1.0 - _ramp(np.where(np.isfinite(short), short, np.inf), 0.0, RIVAL_OCTAVES)
    strikes = _struck(slices, playing)
    led = strikes[at, tune.line] if own.size else np.zeros(0, dtype=np.bool_)
    together = _share_of_number(slices, strikes & led[:, None], strikes, reach)
    found: Floats = alike * (1.0 - together) * (1.0 - traits.figured)
    return found


def _pedal(slices: Slices, playing: Playing, ticks_per_quarter: int) -> Floats:
    """Look for a pitch that is held or repeated for long, rests of less than a bar included."""
    found = np.zeros((slices.start.size, len(playing.lines)))
    for line, one in enumerate(melodies(playing)):
        if one.start.size == 0:
            continue
        rests = one.start[1:] - one.stop[:-1] >= STILL_FROM * ticks_per_quarter
        fresh = np.concatenate([[True], (np.diff(one.midi) != 0.0) | rests])
        first = np.flatnonzero(fresh)
        last = np.concatenate([first[1:], [one.start.size]]) - 1
        quarters = (one.stop[last] - one.start[first]) / ticks_per_quarter
        note = np.searchsorted(one.start, slices.start, side="right") - 1
        run = np.cumsum(fresh) - 1
        found[:, line] = np.where(note >= 0, quarters[run[np.maximum(note, 0)]], 0.0)
    return _ramp(found, STILL_FROM, STILL_TO)


def _struck(slices: Slices, playing: Playing) -> Flags:
    """Return where each line strikes a note [slices, lines]."""
    strikes = [np.isin(slices.start, one.start) for one in melodies(playing)]
    empty = np.zeros((slices.start.size, 0), dtype=np.bool_)
    return np.stack(strikes, axis=1) if strikes else empty


def _by_strand(looks: Floats, of_line: Ints) -> Floats:
    """Give every line of a strand the mean of the strand [slices, lines]; silent lines keep 0."""
    sounding = of_line >= 0
    strand = of_line[sounding]
    number = np.bincount(strand) if strand.size else np.zeros(0)
    total = np.bincount(strand, looks[sounding]) if strand.size else np.zeros(0)
    found = np.zeros(looks.shape)
    found[sounding] = total[strand] / number[strand]
    return found


def _share_of_time(slices: Slices, part: Flags, whole: Flags, reach: float) -> Floats:
    """Return the time of `part` over the time of `whole` within reach [slices, lines]."""
    length = (slices.stop - slices.start).astype(np.float64)[:, None]
    return _within(slices, part * length, reach) / np.maximum(
        _within(slices, whole * length, reach), 1e-9
    )


def _share_of_number(slices: Slices, part: Flags, whole: Flags, reach: float) -> Floats:
    """Return how many of `whole` are of `part` within reach [slices, lines]."""
    return _within(slices, part.astype(np.float64), reach) / np.maximum(
        _within(slices, whole.astype(np.float64), reach), 1e-9
    )


def _within(slices: Slices, value: Floats, reach: float) -> Floats:
    low = np.searchsorted(slices.start, slices.start - reach)
    high = np.searchsorted(slices.start, slices.start + reach, side="right")
    summed = np.cumsum(np.concatenate([np.zeros((1, value.shape[1])), value]), axis=0)
    found: Floats = summed[high] - summed[low]
    return found
