"""Uncertainty: how far a margin can be trusted.

What is not known of an instrument's level is drawn at random (Gaussian, one error for all who play
the instrument, seeded), everything is heard anew for each draw, and the margins are compared with
those of the undisturbed levels.

The first table holds the standard deviation that Redstave states, which it works out without
drawing, against the deviation over 200 draws with the error bar each instrument's data carry,
together with the model's own 3 dB: ratios over all tones in all slices in which something else
sounds. The second table takes the annotated tunes of `listeners`: the share of passages that stay
heard (median margin above 6 dB), doubtful (0 to 6 dB) or covered (below 0) in at least four of five
draws, when every level has an error of 2 or of 4 dB.
"""

from itertools import pairwise
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from redstave.acoustics import batch
from redstave.analysis import Analysis
from redstave.analysis.covering import MODEL_SD_DB
from redstave.analysis.groups import weighted_median
from redstave.reading import read
from tools.evidence.listeners import ROOT, annotated, ticks_of_rows

Floats = NDArray[np.float64]
Float32 = NDArray[np.float32]
Flags = NDArray[np.bool_]

SEED = 20
STATED_DRAWS, STATE_DRAWS = 200, 16
ERRORS_DB = (2.0, 4.0)
LIMITS_DB = (0.0, 6.0)
KEPT_IN = 0.8  # of the draws
DEMO = Path(__file__).resolve().parents[2] / "src" / "redstave" / "app" / "demo"
SCORES = (
    DEMO / "orchestra.musicxml",
    ROOT / "orchestra" / "Beethoven_Op.21_2.mxl",
    ROOT / "orchestra" / "Beach_Op.32_2.mxl",
)
AT_ONCE = 256


def table() -> str:
    """Return both tables; FileNotFoundError where the scores are not there."""
    stated = [
        "| score | rows | median ratio | ratio, 5 to 95 % | within 20 % |",
        "|---|---:|---:|---:|---:|",
        *(_stated_row(path) for path in SCORES),
    ]
    kept = [kept_states(*one) for one in annotated(ROOT)]
    *shares, passages = np.sum(kept, axis=0).tolist()
    states = [
        "| error of every level | passages that keep their state |",
        "|---|---:|",
        *(
            f"| {error:g} dB | {share / passages:.1%} of {passages} |"
            for error, share in zip(ERRORS_DB, shares, strict=True)
        ),
    ]
    return "\n".join([*stated, "", *states])


def _stated_row(path: Path) -> str:
    ratio = stated_over_drawn(Analysis(read(path)), STATED_DRAWS)
    low, middle, high = np.percentile(ratio, [5, 50, 95])
    within = np.mean((ratio > 1 / 1.2) & (ratio < 1.2))
    return (
        f"| {path.stem.replace('_', ' ')} | {ratio.size} | {middle:.2f} | {low:.2f} to {high:.2f} "
        f"| {within:.0%} |"
    )


def stated_over_drawn(analysis: Analysis, draws: int, slices: int | None = None) -> Floats:
    """Return the stated over the drawn sd of each row beside which something sounds.

    Only the first so many slices are heard where `slices` is given.
    """
    drawn = drawn_margins(analysis, draws, slices=slices)
    rows = analysis.hearing.rows
    count = drawn.shape[1]
    company = rows.covering[:count].sum(axis=1) > 0.5
    spread = np.hypot(drawn[:, company].std(axis=0), MODEL_SD_DB)
    ratio: Floats = rows.sd_db[:count][company] / spread
    return ratio


def kept_states(analysis: Analysis, passages: list[Flags]) -> tuple[int, int, int]:
    """Return how many passages keep their state under either error, and how many there are."""
    ticks = ticks_of_rows(analysis)

    def states(margins: NDArray[np.float32] | Floats) -> NDArray[np.int64]:
        medians = [weighted_median(margins[rows], ticks[rows]) for rows in passages]
        return np.searchsorted(LIMITS_DB, medians)

    usual = states(analysis.hearing.rows.margin_db)
    kept = []
    for error in ERRORS_DB:
        drawn = drawn_margins(analysis, STATE_DRAWS, error)
        same = np.array([states(margins) == usual for margins in drawn])
        kept.append(int((same.mean(axis=0) >= KEPT_IN).sum()))
    return kept[0], kept[1], usual.size


def drawn_margins(
    analysis: Analysis, draws: int, error_db: float | None = None, slices: int | None = None
) -> Float32:
    """Return the margin of each row in dB under random errors of level [draws, rows].

    All who play an instrument err together, with the standard deviation `error_db`, by default
    that of the instrument's data. Only the first so many slices are heard where `slices` is given.
    """
    chance = np.random.default_rng(SEED)
    lines, sound = analysis.playing.lines, analysis.sound
    kinds = sorted({line.instrument for line in lines})
    of_line = np.array([kinds.index(line.instrument) for line in lines])
    kind = of_line[analysis.hearing.line]
    sigma = sound.sigma_db if error_db is None else np.full(kind.size, error_db)
    return np.array(
        [
            margins(analysis, chance.standard_normal(len(kinds))[kind] * sigma, slices)
            for _ in range(draws)
        ]
    )


def margins(analysis: Analysis, error_db: Floats, slices: int | None = None) -> Float32:
    """Return the margin in dB of the rows of the first slices, each row's level off by an error."""
    row_slice, strand = analysis.slices.row_slice, analysis.hearing.strand
    end = analysis.slices.start.size if slices is None else slices
    edges = [*range(0, end, AT_ONCE), end]
    found = []
    for first, last in pairwise(edges):
        rows = slice(*np.searchsorted(row_slice, [first, last]))
        gain = 10.0 ** (error_db[rows] / 10.0)
        spectra = analysis.sound.rows(rows)
        louder = np.repeat(gain, np.diff(spectra.starts)).astype(np.float32)
        spectra = spectra._replace(powers=spectra.powers * louder)
        slice_of = row_slice[rows] - first
        excitation = batch.excitations(spectra, slice_of, last - first)
        _, first_row, of_row = np.unique(strand[rows], return_index=True, return_inverse=True)
        own = batch.group_sums(excitation, of_row, first_row.size)
        total = batch.group_sums(excitation, slice_of, last - first)
        found.append(batch.judge(own, slice_of[first_row], total).margin[of_row])
    return np.concatenate(found)
