"""Buried tunes, planted.

Are buried tunes found, and masters' tunes left alone? For every passage that listeners named as the
main line in masters' scores the levels are changed, and all is heard anew. *Covered* and *below
6 dB* tell of the median margin of a passage, *submerged* that its lead over the strongest other
strand lies below the 5th percentile of these passages as written (what `tune-submerged` asks),
*either* that one of the last two is so. *Solo wood* are passages that one woodwind has alone for
four fifths of the time while four parts or more sound. In three passages of a hundred nothing else
sounds, and a tune that most of the orchestra shares has little against it: those cannot be buried,
and are counted all the same.

The gates were set before these were measured. As written: at most 2 % covered and 7 % below 6 dB,
solo wood 12 %. The tune pp against all others f: at least 85 % flagged, solo wood 95 %. Before the
soft levels were weighed against Rimsky-Korsakov's rules for piano (see *Soft levels*), 14.4 % of
the solo wood as written lay below 6 dB, and 93.5 % of it were flagged at pp against f. The margin
alone still misses the gate of 85 %.

The last table gives for each movement how well loudness in company (and the margin) ranks the named
strand above the others of its slice: 1 always, 0.5 by chance. The gate is 0.76.

The faults are judged by the model that made them: they test limits and plumbing, not ears.
"""

from collections.abc import Callable, Collection
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from redstave.analysis import Analysis
from redstave.analysis.groups import weighted_median
from redstave.analysis.prominence import standing
from redstave.analysis.tables import cited
from tools.evidence.listeners import ROOT, annotated, ticks_of_rows

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]
Change = Callable[[float], float]

AT_RISK_DB = 6.0
LEAST_SOLO, LEAST_PARTS, LEAST_TIME = 0.8, 4, 0.5


def _by(steps: float) -> Change:
    return lambda level: min(8.0, max(1.0, level + steps))


def _to(level: float) -> Change:
    return lambda _: level


FAULTS: dict[str, tuple[Change, Change] | None] = {
    "as written": None,
    "tune two levels down": (_by(-2), _by(0)),
    "tune two down, all others two up": (_by(-2), _by(2)),
    "tune pp, all others f": (_to(2.0), _to(6.0)),
}


@dataclass(frozen=True)
class Planted:
    """One movement: margins and leads [faults, passages], which are solo wood, ranking AUC."""

    name: str
    margins: Floats
    leads: Floats
    solo: Flags
    partial_auc: float
    margin_auc: float


def table() -> str:
    """Return the tables; FileNotFoundError where the scores are not there."""
    found = [planted(*one) for one in annotated(ROOT)]
    if not found:
        raise FileNotFoundError(f"no annotated movements in {ROOT}")
    margins = np.concatenate([one.margins for one in found], axis=1)
    leads = np.concatenate([one.leads for one in found], axis=1)
    solo = np.concatenate([one.solo for one in found])
    rows = [
        f"| {solo.size} passages, {solo.sum()} of them solo wood | covered | margin below 6 dB "
        "| submerged | either | solo wood: covered | margin below 6 dB | submerged | either |",
        "|---|" + "---:|" * 8,
    ]
    rows += [
        f"| {fault} | {_shares(margins[at], leads[at])} | "
        f"{_shares(margins[at][solo], leads[at][solo])} |"
        for at, fault in enumerate(FAULTS)
    ]
    ranks = ["| movement | loudness in company | margin |", "|---|---:|---:|"]
    ranks += [f"| {one.name} | {one.partial_auc:.2f} | {one.margin_auc:.2f} |" for one in found]
    means = np.mean([(one.partial_auc, one.margin_auc) for one in found], axis=0)
    ranks.append(f"| **all** | {means[0]:.3f} | {means[1]:.3f} |")
    return "\n".join([*rows, "", *ranks])


def flagged(margins: Floats, leads: Floats) -> tuple[Flags, Flags]:
    """Return which passages are at risk by their margin, and which are submerged."""
    limit = cited("prominence", "tune", "lead").numbers[0]
    return margins < AT_RISK_DB, np.nan_to_num(leads, nan=np.inf) < limit


def _shares(margins: Floats, leads: Floats) -> str:
    risk, submerged = flagged(margins, leads)
    columns = (margins < 0.0, risk, submerged, risk | submerged)
    return " | ".join(f"{column.mean():.1%}" for column in columns)


def planted(
    analysis: Analysis, named: list[Flags], faults: Collection[str] = FAULTS.keys()
) -> Planted:
    """Hear a movement with each of some faults, and judge its named passages."""
    tune = _tones_of_tune(analysis, named)
    chosen = [FAULTS[fault] for fault in faults]
    heard = [analysis if fault is None else _with(analysis, tune, *fault) for fault in chosen]
    judged = [_judged(one, named) for one in heard]
    return Planted(
        analysis.score.title or analysis.score.origin.name,
        np.array([margins for margins, _ in judged]),
        np.array([leads for _, leads in judged]),
        np.array([solo_wood(analysis, rows) for rows in named]),
        ranking(analysis, named, analysis.hearing.rows.partial),
        ranking(analysis, named, analysis.hearing.rows.margin_db),
    )


def _tones_of_tune(analysis: Analysis, named: list[Flags]) -> Flags:
    """Return the tones that sound in the strand of a named passage."""
    found = np.zeros(len(analysis.playing.tones), dtype=np.bool_)
    strand, tone = analysis.hearing.strand, analysis.slices.row_tone
    for rows in named:
        found[tone[np.isin(strand, strand[rows])]] = True
    return found


def _with(analysis: Analysis, tune: Flags, own: Change, others: Change) -> Analysis:
    """Return the movement with other levels for the tune and for all others."""
    tones = []
    for tone, is_tune in zip(analysis.playing.tones, tune.tolist(), strict=True):
        change = own if is_tune else others
        tones.append(tone._replace(level=change(tone.level), level_stop=change(tone.level_stop)))
    return analysis.retold(replace(analysis.playing, tones=tuple(tones)))


def _judged(analysis: Analysis, named: list[Flags]) -> tuple[list[float], list[float]]:
    """Return the median margin in dB and the lead (log2) of each passage."""
    hearing, weight = analysis.hearing, ticks_of_rows(analysis)
    margins = [weighted_median(hearing.rows.margin_db[rows], weight[rows]) for rows in named]
    leads = [standing(hearing, analysis.prominence, np.flatnonzero(rows)).lead for rows in named]
    return margins, leads


def solo_wood(analysis: Analysis, rows: Flags) -> bool:
    """Tell whether one woodwind has a passage alone while four parts or more sound."""
    slices, hearing, lines = analysis.slices, analysis.hearing, analysis.playing.lines
    if lines[hearing.line[np.flatnonzero(rows)[0]]].family != "woodwind":
        return False
    here = np.unique(slices.row_slice[rows])
    time = (slices.stop - slices.start)[here]
    inside = np.isin(slices.row_slice, here)
    own = inside & np.isin(hearing.strand, hearing.strand[rows])
    order = {part: number for number, part in enumerate({line.part for line in lines})}
    part = np.array([order[line.part] for line in lines])[hearing.line]
    alone = _different(slices.row_slice[own], part[own], here) == 1
    four = _different(slices.row_slice[inside], part[inside], here) >= LEAST_PARTS
    return bool(
        time[alone].sum() >= LEAST_SOLO * time.sum() and time[four].sum() >= LEAST_TIME * time.sum()
    )


def _different(
    at: NDArray[np.int64], part: NDArray[np.int64], here: NDArray[np.int64]
) -> NDArray[np.int64]:
    """Return how many different parts there are in each of some slices."""
    pairs = np.unique(np.stack([at, part]), axis=1)[0]
    return np.searchsorted(pairs, here, side="right") - np.searchsorted(pairs, here)


def ranking(analysis: Analysis, named: list[Flags], value: Floats) -> float:
    """Return how often a value ranks the named strand above another of its slice, by time."""
    hearing, slices = analysis.hearing, analysis.slices
    _, first = np.unique(hearing.strand, return_index=True)
    at, score = slices.row_slice[first], value[first]
    is_named = np.isin(hearing.strand[first], hearing.strand[np.any(named, axis=0)])
    begins = np.searchsorted(at, np.arange(slices.start.size + 1))
    length = (slices.stop - slices.start).astype(np.float64)
    won, time = 0.0, 0.0
    for number, (low, high) in enumerate(pairwise(begins)):
        own, others = score[low:high][is_named[low:high]], score[low:high][~is_named[low:high]]
        if own.size and others.size:
            above = (own[:, None] > others).mean() + 0.5 * (own[:, None] == others).mean()
            won += length[number] * above
            time += length[number]
    return float(won / time) if time else np.nan
