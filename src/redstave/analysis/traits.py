"""What can be told of every line in every slice without hearing it: height, movement, theme.

All arrays have the shape [slices, lines]; a line that is silent in a slice has `sounding` false and
0 or nan elsewhere. The windows are in quarters: a bar of common time on either side where a habit
is meant, half a bar where an event is. They are ours (no source).
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from redstave.analysis.figures import figured
from redstave.analysis.melody import Melody, averaged, begins_after_rest, counted, melodies
from redstave.analysis.slices import Slices
from redstave.analysis.slurs import slurred
from redstave.analysis.solos import Lead
from redstave.analysis.themes import thematic
from redstave.model.line import Playing
from redstave.model.score import Score

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]

HABIT_QUARTERS = 4.0
EVENT_QUARTERS = 2.0
HELD_QUARTERS = 1.0  # a line that strikes nothing for so long either way is holding
REST_QUARTERS = 0.5  # a shorter silence is articulation, not a rest


@dataclass(frozen=True)
class Traits:
    """Signs of what each line does [slices, lines].

    `sounding`; `highest` and `lowest` sounding pitch (nan where silent or without pitch); `below`
    octaves below the highest pitch heard about then; `level` written level above the mean of all
    that sounds (in steps: p to mp is one); `changes` how often the pitch changes and `attacks` how
    often it strikes within two quarters; `leap` mean size of the changes in semitones; shares of
    notes within a bar or half of it: `thematic`, `slurred`, `figured`; `variety` of note values
    (standard deviation in octaves: 1 is crotchets mixed with quavers and minims); `held` nothing is
    struck within a quarter; `marked` the page calls the line leading; `enters` it begins after a
    rest.
    """

    sounding: Flags
    highest: Floats
    lowest: Floats
    below: Floats
    level: Floats
    changes: Floats
    attacks: Floats
    leap: Floats
    thematic: Floats
    slurred: Floats
    figured: Floats
    variety: Floats
    held: Flags
    marked: Flags
    enters: Flags


def traits(score: Score, playing: Playing, slices: Slices, leads: Sequence[Lead]) -> Traits:
    """Return the traits of all lines of a score in all slices."""
    shape = slices.start.size, len(playing.lines)
    sounding, highest, lowest, level = _pitches_and_levels(playing, slices, shape)
    ceiling = _ceiling(slices, highest, HABIT_QUARTERS * score.ticks_per_quarter)
    below = np.nan_to_num((ceiling[:, None] - highest) / 12.0)
    number = np.maximum(sounding.sum(axis=1), 1)
    mean_level = level.sum(axis=1) / number
    moving = _moving(score, playing, slices)
    return Traits(
        sounding=sounding,
        highest=highest,
        lowest=lowest,
        below=below,
        level=np.where(sounding, level - mean_level[:, None], 0.0),
        marked=_marked(slices, shape, leads),
        held=moving["held"] > 0,
        enters=moving["enters"] > 0,
        **{name: moving[name] for name in _SHARES},
    )


_SHARES = ("changes", "attacks", "leap", "thematic", "slurred", "figured", "variety")


def _pitches_and_levels(
    playing: Playing, slices: Slices, shape: tuple[int, int]
) -> tuple[Flags, Floats, Floats, Floats]:
    """Return who sounds, the highest and lowest pitch, and the loudest level of each line."""
    tones = playing.tones
    row_tone, at = slices.row_tone, slices.row_slice
    line = np.array([tone.line for tone in tones], dtype=np.int64)[row_tone]
    midi = np.array([np.nan if tone.unpitched else tone.midi for tone in tones])[row_tone]
    sounding = np.zeros(shape, dtype=np.bool_)
    sounding[at, line] = True
    highest, lowest = np.full(shape, np.nan), np.full(shape, np.nan)
    np.fmax.at(highest, (at, line), midi)
    np.fmin.at(lowest, (at, line), midi)
    level = np.zeros(shape)
    np.maximum.at(level, (at, line), _levels(playing, slices))
    return sounding, highest, lowest, level


def _ceiling(slices: Slices, highest: Floats, reach: float) -> Floats:
    """Return the highest pitch of each slice, or the mean of those within reach if that is higher.

    A bass that is left alone for a moment is not the highest voice.
    """
    top = np.fmax.reduce(highest, axis=1, initial=0.0)
    length = (slices.stop - slices.start).astype(np.float64)
    middle = 0.5 * (slices.start + slices.stop)
    low = np.searchsorted(slices.stop, middle - reach, side="right")
    high = np.searchsorted(slices.start, middle + reach)
    summed = np.concatenate([[0.0], np.cumsum(top * length)])
    total = np.concatenate([[0.0], np.cumsum(length)])
    found: Floats = np.maximum(top, (summed[high] - summed[low]) / (total[high] - total[low]))
    return found


def _levels(playing: Playing, slices: Slices) -> Floats:
    """Return the level of each row in the middle of its slice, hairpins followed."""
    columns = np.array(
        [(tone.level, tone.level_stop, tone.start, tone.stop) for tone in playing.tones]
    ).reshape(-1, 4)[slices.row_tone]
    first, last, start, stop = columns.T
    middle = 0.5 * (slices.start + slices.stop)[slices.row_slice]
    level: Floats = first + (last - first) * (middle - start) / np.maximum(stop - start, 1.0)
    return level


def _moving(score: Score, playing: Playing, slices: Slices) -> dict[str, Floats]:
    """Return the traits that are read from each line's melody, by name [slices, lines]."""
    under = slurred(score)
    tones = playing.tones
    lines = melodies(playing)
    themes = thematic(lines, score.ticks_per_quarter)
    middle: Floats = 0.5 * (slices.start + slices.stop).astype(np.float64)
    columns = []
    for one, theme in zip(lines, themes, strict=True):
        slur = np.array(
            [any(note in under for note in tones[at].notes) for at in one.tone], dtype=np.bool_
        )
        figure = figured(one, tones, score.ticks_per_quarter)
        columns.append(_of_melody(one, theme, slur, figure, middle, score.ticks_per_quarter))
        columns[-1]["enters"] = _enters(one, slices.start, score.ticks_per_quarter)
    names = (*_SHARES, "held", "enters")
    empty = np.zeros((slices.start.size, 0))
    return {
        name: np.stack([column[name] for column in columns], axis=1) if columns else empty
        for name in names
    }


def _of_melody(
    one: Melody, theme: Flags, slur: Flags, figure: Flags, middle: Floats, quarter: int
) -> dict[str, Floats]:
    habit, event, near = (
        quarters * quarter for quarters in (HABIT_QUARTERS, EVENT_QUARTERS, HELD_QUARTERS)
    )
    every = np.ones(one.start.size)
    moves = one.step != 0.0
    changes = counted(one, moves, middle, event)
    value = np.log2(np.maximum(one.duration, 1))
    mean = averaged(one, value, middle, habit)
    square = averaged(one, value**2, middle, habit)
    return {
        "changes": changes,
        "attacks": counted(one, every, middle, event),
        "leap": counted(one, np.abs(one.step), middle, event) / np.maximum(changes, 1.0),
        "thematic": averaged(one, theme, middle, event),
        "slurred": averaged(one, slur, middle, habit),
        "figured": averaged(one, figure, middle, habit),
        "variety": np.sqrt(np.maximum(square - mean**2, 0.0)),
        "held": counted(one, every, middle, near) == 0.0,
    }


def _enters(one: Melody, slice_start: Ints, quarter: int) -> Floats:
    """Return 1 for the slices in which the line begins after a rest."""
    fresh = one.start[begins_after_rest(one, REST_QUARTERS * quarter)]
    return np.isin(slice_start, fresh).astype(np.float64)


def _marked(slices: Slices, shape: tuple[int, int], leads: Sequence[Lead]) -> Flags:
    marked = np.zeros(shape, dtype=np.bool_)
    for lead in leads:
        first, last = np.searchsorted(slices.start, [lead.start, lead.stop])
        marked[first:last, lead.line] = True
    return marked
