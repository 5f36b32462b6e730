"""The check `brass-at-par-overpowers`."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from redstave.analysis import Analysis
from redstave.analysis.groups import weighted_median
from redstave.analysis.passages import Passage, by_strand, passages
from redstave.analysis.spots import spot_of
from redstave.analysis.words import line_names, listed, loudest_first
from redstave.checks.registry import CannotJudge, Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding
from redstave.model.line import level_name

Flags = NDArray[np.bool_]
Floats = NDArray[np.float64]

LIKELIER_THAN_NOT = 0.5
LARGEST_RATIO = 20.0  # a larger one is not told as a number


@check(
    "brass-at-par-overpowers",
    Claim.RISK,
    sources=("rk", "common-practice"),
    settings=(
        Setting("reach", 12.0, "semitones", "how near to the tune counts as its octave", "rk"),
        Setting("least_level", 5.0, "level", "softer brass is left alone (mf is 5)", "rk"),
        Setting(
            "at_par",
            0.5,
            "levels",
            "brass marked less than this below the tune still counts as marked alike",
            "rk",
        ),
        Setting(
            "least_ratio",
            2.0,
            "ratio",
            "brass must be heard at least this many times as loud as the tune",
            "common-practice",
        ),
        Setting(
            "least_confidence",
            0.6,
            "share",
            "how sure it must be, over the passage, that the line overpowered is the tune",
            "common-practice",
        ),
        Setting(
            "least_quarters",
            6.0,
            "quarter notes",
            "shorter passages are left alone",
            "common-practice",
        ),
    ),
)
def brass_at_par_overpowers(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Find brass marked as loud as the tune of other instruments, in its octave.

    What it reports
        Brass that accompanies at the level of the strings' or woodwinds' tune or above it, within
        an octave of it, and that the hall hears at least twice as loud.

    Why it matters
        The same letter does not mean the same loudness: at forte one trumpet or trombone equals
        two horns or four woodwinds. Marked alike and in the same octave, the brass is the tune.

    How it is computed
        In each slice the tune is found (height, movement, theme); it must be likelier than not at
        every moment, and fairly sure over the passage. Brass lines that do not double it, whose
        written level is at least the tune's and whose pitch lies within reach, are added up in sone
        as heard in the company of all else, and compared with the tune.

    Limits
        Where the brass is the subject, the finding is wrong: the rule for the tune goes astray in
        about a quarter of the time. An estimate for one seat in a good hall.

    Sources
        Weights of winds at forte, and the advice to mark woodwind one degree above brass:
        Rimsky-Korsakov, chapters I and III.
    """
    if len(analysis.unheard) == len(analysis.playing.lines):
        raise CannotJudge("no instrument in this score is known")
    families = {line.family for line in analysis.playing.lines}
    if "brass" not in families or families <= {"brass"}:
        return
    against = _compare(analysis, limits)
    for doubled in _long_enough(analysis, against, limits["least_quarters"]):
        rows = np.concatenate([passage.rows for passage in doubled])
        slices = np.unique(analysis.slices.row_slice[rows])
        seconds = analysis.slices.seconds[slices]
        sure = np.average(analysis.tune.confidence[slices], weights=seconds)
        ratio = weighted_median(against.ratio[slices], seconds)
        if ratio >= limits["least_ratio"] and sure >= limits["least_confidence"]:
            yield _finding(analysis, doubled, against, ratio, limits)


def _long_enough(
    analysis: Analysis, against: "_Comparison", quarters: float
) -> Iterable[list[Passage]]:
    """Return the passages in which a tune has brass at par, those of a doubled tune together."""
    quarter = analysis.score.ticks_per_quarter
    found = passages(analysis.hearing, against.tune_rows, quarter, quarter)
    return by_strand(analysis.hearing, [one for one in found if one.quarters >= quarters])


@dataclass(frozen=True)
class _Comparison:
    """Rows of a non-brass tune under at-par brass, rows of that brass, loudness ratio a slice."""

    tune_rows: Flags
    brass_rows: Flags
    ratio: Floats


def _compare(analysis: Analysis, limits: Limits) -> _Comparison:
    hearing, slices, tones = analysis.hearing, analysis.slices, analysis.playing.tones
    at, count = slices.row_slice, slices.start.size
    brass_line = np.array([line.family == "brass" for line in analysis.playing.lines])
    brass = brass_line[hearing.line]
    midi = np.array([tone.midi for tone in tones])[slices.row_tone]
    level = np.array([(tone.level + tone.level_stop) / 2 for tone in tones])[slices.row_tone]
    tune = (hearing.strand == analysis.tune.strand[at]) & (analysis.tune.strand[at] >= 0)
    tune &= analysis.tune.confidence[at] >= LIKELIER_THAN_NOT
    with_brass = np.zeros(count, dtype=np.bool_)
    with_brass[at[tune & brass]] = True
    tune &= ~with_brass[at]
    low, high, loudest = np.full(count, np.inf), np.full(count, -np.inf), np.full(count, np.inf)
    np.minimum.at(low, at[tune], midi[tune] - limits["reach"])
    np.maximum.at(high, at[tune], midi[tune] + limits["reach"])
    loudest[at[tune]] = -np.inf
    np.maximum.at(loudest, at[tune], level[tune])
    near = (midi > low[at]) & (midi < high[at]) & (level >= loudest[at] - limits["at_par"])
    rivals = brass & near & (level >= limits["least_level"])
    ratio = _by_slice(hearing.rows.partial, hearing.strand, at, rivals, count) / np.maximum(
        _by_slice(hearing.rows.partial, hearing.strand, at, tune, count), 1e-3
    )
    rivalled = np.zeros(count, dtype=np.bool_)
    rivalled[at[rivals]] = True
    return _Comparison(tune & rivalled[at], rivals, ratio)


def _by_slice(
    sones: Floats, strand: NDArray[np.int64], at: NDArray[np.int64], rows: Flags, count: int
) -> Floats:
    """Return the summed loudness of the strands that the given rows belong to, in each slice."""
    _, first = np.unique(strand[rows], return_index=True)
    chosen = np.flatnonzero(rows)[first]
    summed: Floats = np.bincount(at[chosen], sones[chosen], minlength=count).astype(np.float64)
    return summed


def _told(ratio: float) -> float | str:
    """Return a ratio as far as it means anything: a tune close to its threshold has no loudness."""
    return round(ratio, 1) if ratio < LARGEST_RATIO else f"over {LARGEST_RATIO:.0f}"


def _finding(
    analysis: Analysis,
    doubled: list[Passage],
    against: _Comparison,
    ratio: float,
    limits: Limits,
) -> Finding:
    hearing, lines = analysis.hearing, analysis.playing.lines
    at = analysis.slices.row_slice
    slices = np.unique(at[np.concatenate([passage.rows for passage in doubled])])
    rows = np.flatnonzero(against.brass_rows & np.isin(at, slices))
    start = min(passage.start for passage in doubled)
    stop = max(passage.stop for passage in doubled)
    brass = [
        Passage(line, rows[hearing.line[rows] == line], start, stop, 0.0)
        for line in np.unique(hearing.line[rows]).tolist()
    ]
    tones = analysis.playing.tones
    level = max(tones[tone].level for tone in analysis.slices.row_tone[rows].tolist())
    quarters = max(passage.quarters for passage in doubled)
    return Finding(
        "brass-at-par-overpowers",
        tuple(spot_of(analysis, one) for one in (*doubled, *brass)),
        (
            Evidence(
                "loudness of brass over tune", round(ratio, 1), "ratio", limits["least_ratio"]
            ),
            Evidence("length of the passage", quarters, "quarter notes"),
        ),
        (
            ("instrument", loudest_first(analysis, doubled)),
            ("others", listed(line_names(lines, (one.line for one in brass)))),
            ("level", level_name(level)),
        ),
    )
