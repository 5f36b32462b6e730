"""Which line carries the tune at every moment, and how sure that is.

An untrained rule. Every sign by which a listener may know a tune counts as much as one octave of
height: that it lies highest, moves, belongs to a fragment which returns elsewhere, has notes of
different lengths, is slurred, or is called leading by the page; that it holds still, or runs in
figures, counts against it. A tune also lasts: the line is followed that scores best over time, and
changing to another has its price (`redstave.analysis.path`). Levels count little and power not at
all, so that a tune which is written too soft is still known as the tune.

On movements whose main line listeners have named it agrees with them more than three quarters of
the time (docs/evidence.md); nothing was fitted.
"""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from redstave.analysis.path import best_path
from redstave.analysis.slices import Slices
from redstave.analysis.solos import Lead
from redstave.analysis.traits import Traits
from redstave.model.line import Playing

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]

ALONE = 4.0  # the lead of a strand that sounds by itself
LEAD_QUARTERS = 2.0  # the lead is taken half a bar on either side together


NAMED = 0.9  # the least chance of a tune that the original or the teacher names (ours)


@dataclass(frozen=True)
class Rule:
    """What each sign counts, in octaves of height; ours, no source.

    docs/evidence.md says how much depends on each.
    """

    thematic: float = 1.0  # every note near belongs to a fragment that another line plays elsewhere
    varied: float = 1.0  # note values spread as widely as crotchets, quavers and minims mixed
    slurred: float = 1.0  # every note near is under a slur: the page binds it to a phrase
    marked: float = 1.0  # solo, espressivo, cantabile …
    held: float = -1.0  # it strikes nothing for a quarter either way: the ear follows what moves
    figured: float = -0.5  # every note near runs in a figure; half, for themes have figures too
    moving: float = 0.5  # each doubling of one plus the changes of pitch within two quarters
    louder: float = 0.25  # each step of level above the mean: from p to f is three quarters
    lower: float = -1.0  # each octave below the highest pitch: the unit of all
    change: float = 2.0  # what a change of hands costs: an octave's advantage for half a bar
    silence: float = 2.0  # a quarter: a silent line is followed for a breath, hardly for a bar
    least: float = 1.0  # what is less like a tune, such as a held bass alone, only fills a gap


RULE = Rule()


@dataclass(frozen=True)
class Tune:
    """For each slice the strand that carries the tune, -1 where the tune rests or nothing sounds.

    `line` is the line followed (index; -1 where there is none at all, kept through short rests);
    `lead` how many octaves its score lies above the next strand's, half a bar on either side
    together; `confidence` the chance (0 to 1) that it is the tune.
    """

    strand: Ints
    line: Ints
    lead: Floats
    confidence: Floats


def likeness(traits: Traits, rule: Rule = RULE) -> Floats:
    """Return how like a tune each line is [slices, lines], in octaves; -inf where silent."""
    score = (
        rule.lower * traits.below
        + rule.moving * np.log2(1.0 + traits.changes)
        + rule.louder * traits.level
        + rule.thematic * traits.thematic
        + rule.varied * traits.variety
        + rule.slurred * traits.slurred
        + rule.figured * traits.figured
        + rule.marked * traits.marked
        + rule.held * traits.held
    )
    return np.where(traits.sounding & np.isfinite(traits.highest), score, -np.inf)


def find_tune(
    slices: Slices,
    traits: Traits,
    of_line: Ints,
    playing: Playing,
    ticks_per_quarter: int,
    words: Ints | None = None,
    rule: Rule = RULE,
) -> Tune:
    """Follow the tune through the score; `of_line` is the strand of each line [slices, lines].

    `words` [slices, lines], where given, is the original's or the teacher's: 1 for the tune, -1 for
    another role.
    """
    score = likeness(traits, rule)
    if words is not None:
        score = np.where(words < 0, -np.inf, score)
    strand = np.where(np.isfinite(score), of_line, -1)
    quarters = (slices.stop - slices.start) / ticks_per_quarter
    order = _by_content(playing, traits)
    path = best_path(
        score[:, order],
        quarters,
        strand[:, order],
        traits.enters[:, order],
        price=rule.change,
        silence=rule.silence,
        least=rule.least,
    )
    line = order[path] if order.size else path
    if words is not None:
        line = np.where((words > 0).any(axis=1), _called(words, score), line)
    followed = strand[np.arange(line.size), line] if order.size else line
    lead = _leads(likeness(traits, rule), of_line, followed)
    lead = _smooth(lead, slices, LEAD_QUARTERS * ticks_per_quarter)
    sure = chance(lead)
    if words is not None:
        named = (words > 0).any(axis=1) & (followed >= 0)
        sure = np.where(named, np.maximum(sure, NAMED), sure)
    return Tune(followed, line, lead, sure)


def _called(words: Ints, score: Floats) -> Ints:
    """Return the line called the tune in each slice; of several the one most like a tune."""
    ranked = np.where(words > 0, np.nan_to_num(score, neginf=-1e9), -np.inf)
    found: Ints = ranked.argmax(axis=1)
    return found


def chance(lead: Floats) -> Floats:
    """Return the chance that a line leading by so many octaves is the tune: even odds at 0."""
    odds = np.exp2(np.clip(lead, -20.0, 20.0))
    found: Floats = odds / (1.0 + odds)
    return found


def strands_of_lines(slices: Slices, playing: Playing, strand: Ints) -> Ints:
    """Return the strand that each line's highest tone belongs to [slices, lines]; -1 where silent.

    Tones without pitch carry no tune and count as silence.
    """
    tones = [playing.tones[index] for index in slices.row_tone.tolist()]
    found = np.full((slices.start.size, len(playing.lines)), -1, dtype=np.int64)
    pitch = np.array([-1.0 if tone.unpitched else tone.midi for tone in tones])
    line = np.array([tone.line for tone in tones], dtype=np.int64)
    rows = np.argsort(pitch, kind="stable")
    rows = rows[pitch[rows] >= 0.0]
    found[slices.row_slice[rows], line[rows]] = strand[rows]
    return found


def _by_content(playing: Playing, traits: Traits) -> Ints:
    """Return the lines sorted by what they play, so that equals are settled alike on any page."""
    height = np.nan_to_num(traits.highest).sum(axis=0)
    keys = [
        (-float(height[at]), one.instrument, one.numbers, -one.players)
        for at, one in enumerate(playing.lines)
    ]
    return np.array(sorted(range(len(keys)), key=keys.__getitem__), dtype=np.int64)


def _leads(score: Floats, of_line: Ints, followed: Ints) -> Floats:
    """Return how far the best line of the strand followed lies above the best of all others.

    0 where nothing is followed; where there is no other, as if it lay ALONE octaves ahead.
    """
    mine = (of_line == followed[:, None]) & (followed >= 0)[:, None]
    best = np.where(mine, score, -np.inf).max(axis=1, initial=-np.inf)
    next_best = np.where(mine, -np.inf, score).max(axis=1, initial=-np.inf)
    with np.errstate(invalid="ignore"):
        lead = np.where(np.isfinite(next_best), best - next_best, ALONE)
    found: Floats = np.where(followed >= 0, lead, 0.0)
    return found


def _smooth(lead: Floats, slices: Slices, reach: float) -> Floats:
    """Average over the slices that begin within `reach` ticks, weighted by their length."""
    if lead.size == 0:
        return lead
    low = np.searchsorted(slices.start, slices.start - reach)
    high = np.searchsorted(slices.start, slices.start + reach, side="right")
    length = (slices.stop - slices.start).astype(np.float64)
    summed = np.concatenate([[0.0], np.cumsum(lead * length)])
    total = np.concatenate([[0.0], np.cumsum(length)])
    found: Floats = (summed[high] - summed[low]) / (total[high] - total[low])
    return found


def marked_rows(slices: Slices, line: Ints, leads: Iterable[Lead]) -> Flags:
    """Return for each row whether the page calls its line leading at that moment."""
    marked = np.zeros(line.size, dtype=np.bool_)
    start = slices.start[slices.row_slice]
    for lead in leads:
        marked |= (line == lead.line) & (start >= lead.start) & (start < lead.stop)
    return marked
