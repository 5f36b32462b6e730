"""Who has the tune: what the answer depends on.

Redstave's rule for the tune counts signs, each worth so many octaves of height, and follows the
line that scores best over time (`redstave.analysis.tune`). Nothing was fitted, but *the choice was
made after seeing results on these very movements*: which signs to count, that each should count as
much as one octave (level a quarter, figures half), and a price of two for a change of hands. Seen
and left out: loudness in the hall (no gain once the rest is there, and a buried tune would be
lost), a bonus for first violins, for doublings, for entries, for steps; windows of half a bar or a
bar were set once. Other movements are therefore needed to know what it is worth.

The first table gives the share of time in which the strand named is the one listeners named, as the
mean over movements, when one number of the rule is left out, halved or doubled; and for the spans
that `redstave tune` prints. *Worse without* says in how many of the means in which one movement is
left out the rule as it is agrees better or as well: 21 of 21 means that no single movement decides.
The second table holds stated confidence against agreement.
"""

from collections.abc import Iterator, Mapping
from dataclasses import fields, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from redstave.analysis import Analysis
from redstave.analysis.tune import RULE, Rule, Tune, find_tune
from tools.evidence.listeners import ROOT, annotated, ticks_of_rows

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]
Movement = tuple[Analysis, list[Flags]]

FACTORS = {"left out": 0.0, "halved": 0.5, "doubled": 2.0}
SIGNS = {
    "lower": "octaves below the top",
    "moving": "changes of pitch",
    "thematic": "returns in another line",
    "varied": "varied note values",
    "slurred": "slurred",
    "held": "holds still",
    "figured": "figure",
    "louder": "written level",
    "marked": "solo, espr.",
    "change": "price of a change",
    "silence": "price of silence",
    "least": "least for a gap",
}
STEPS = (0.0, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0)


def table() -> str:
    """Return both tables; FileNotFoundError where the scores are not there."""
    movements = list(annotated(ROOT))
    if not movements:
        raise FileNotFoundError(f"no annotated movements in {ROOT}")
    shipped = agreement(movements, RULE)
    spans = np.array([agreed_by_spans(*one) for one in movements])
    rows = [
        "| number of the rule | " + " | ".join(FACTORS) + " | worse without |",
        "|---|---:|---:|---:|---:|",
        f"| *as it is* | {shipped.mean():.3f} | | | |",
        f"| *as spans* | {spans.mean():.3f} | | | |",
        *(_row(movements, shipped, name) for name in SIGNS),
    ]
    sure = [
        "| stated confidence | share of time | agreement |",
        "|---|---:|---:|",
        *_calibration(movements),
    ]
    return "\n".join([*rows, "", *sure])


def agreement(movements: list[Movement], rule: Rule) -> Floats:
    """Return for each movement the share of time in which a rule names the listeners' strand."""
    return np.array(
        [agreed(analysis, named, tune_by(analysis, rule)) for analysis, named in movements]
    )


def tune_by(analysis: Analysis, rule: Rule) -> Tune:
    """Return the tune of a movement by another rule."""
    quarter = analysis.score.ticks_per_quarter
    return find_tune(
        analysis.slices,
        analysis.traits,
        analysis.line_strand,
        analysis.playing,
        quarter,
        rule=rule,
    )


def agreed(analysis: Analysis, named: list[Flags], tune: Tune) -> float:
    """Return the share of the time of named rows that belong to the tune's strand."""
    leads = analysis.strand == tune.strand[analysis.slices.row_slice]
    weight = ticks_of_rows(analysis)
    total = sum(weight[rows].sum() for rows in named)
    return float(sum(weight[rows & leads].sum() for rows in named) / total)


def agreed_by_spans(analysis: Analysis, named: list[Flags]) -> float:
    """Return the same for the spans: the named part is among those that a span gives."""
    slices, spans, lines = analysis.slices, analysis.tune_spans, analysis.playing.lines
    parts = [{lines[line].part for line in span.lines} for span in spans]
    at = np.searchsorted([span.start for span in spans], slices.start, side="right") - 1
    line = np.array([tone.line for tone in analysis.playing.tones])[slices.row_tone]
    given = np.array(
        [
            at[one] >= 0 and lines[of].part in parts[at[one]]
            for one, of in zip(slices.row_slice.tolist(), line.tolist(), strict=True)
        ]
    )
    weight = ticks_of_rows(analysis)
    total = sum(weight[rows].sum() for rows in named)
    return float(sum(weight[rows & given].sum() for rows in named) / total)


def _row(movements: list[Movement], shipped: Floats, name: str) -> str:
    value = getattr(RULE, name)
    found = {
        word: agreement(movements, replace(RULE, **{name: factor * value}))
        for word, factor in FACTORS.items()
    }
    kept = np.array([_without(shipped) >= _without(found["left out"])])
    cells = " | ".join(f"{one.mean():.3f}" for one in found.values())
    return f"| {SIGNS[name]} ({value:+g}) | {cells} | {kept.sum()} of {kept.size} |"


def _without(one: Floats) -> Floats:
    """Return the means over all movements but one."""
    means: Floats = (one.sum() - one) / (one.size - 1)
    return means


def _calibration(movements: list[Movement]) -> Iterator[str]:
    stated, right, weight = (np.concatenate(one) for one in zip(*map(told, movements), strict=True))
    for low, high in pairwise(STEPS):
        inside = (stated >= low) & (stated < high)
        share = weight[inside].sum() / weight.sum()
        if share > 0.0:
            hit = np.average(right[inside], weights=weight[inside])
            yield f"| {low:.1f} to {high:.1f} | {share:.2f} | {hit:.2f} |"


def told(movement: Movement) -> tuple[Floats, Floats, Floats]:
    """Return confidence, agreement (0 or 1) and time in quarters of all named rows."""
    analysis, named = movement
    at = analysis.slices.row_slice
    chosen = np.concatenate([np.flatnonzero(rows) for rows in named])
    right = analysis.strand == analysis.tune.strand[at]
    quarters = ticks_of_rows(analysis) / analysis.score.ticks_per_quarter
    return analysis.tune.confidence[at[chosen]], right[chosen].astype(float), quarters[chosen]


def known_signs() -> Mapping[str, str]:
    """Return the words for every number of the rule; all of them are tried."""
    assert {field.name for field in fields(Rule)} == SIGNS.keys()
    return SIGNS
