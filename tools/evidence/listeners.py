"""Masters' tunes, as listeners named them.

For orchestral movements whose main line trained listeners have named from moment to moment (tables
CC BY-SA, M. Gotham et al.; used for evaluation only, nothing in Redstave is fitted to them), the
table says what Redstave computes. *Covered* and *at risk* are the shares of annotated passages of a
quarter note or more whose median margin, judged with their doublings, lies below 0 and below 6 dB:
masters' tunes should hardly ever be. *Named* is the share of time in which the leading strand that
Redstave finds is the one listeners named; *highest* is the same for the simple rule "the highest
line", *first violins* for "always the first violins". Nobody listened for audibility: that masters'
tunes are audible is assumed. The last rows hear the same passages with the reverberant tail of the
hall, and from the conductor's place.
"""

import csv
from collections.abc import Collection, Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from redstave.analysis import Analysis
from redstave.analysis.groups import weighted_median
from redstave.instruments import hall
from redstave.reading import read

ROOT = Path(__file__).resolve().parents[3] / "shared" / "scores"
Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]


@dataclass(frozen=True)
class Movement:
    """What was measured on one movement: a margin for each passage, shares of time.

    `elsewhere` has the margins in each of ELSEWHERE.
    """

    name: str
    margins: Floats
    elsewhere: tuple[Floats, ...]
    named: float
    highest: float
    violins: float


def movements(root: Path = ROOT) -> list[Movement]:
    """Measure every annotated movement; FileNotFoundError where the scores are not there."""
    tables = sorted((root / "tune").glob("*_annotations.csv"))
    if not tables:
        raise FileNotFoundError(f"no annotated movements in {root}")
    return [_measure(table, root) for table in tables]


def table() -> str:
    """Return the table of all movements, means last."""
    found = movements()
    rows = [
        "| movement | passages | covered | at risk | margin | named | highest | first violins |",
        "|---|---:|---:|---:|---:|---:|---:|---:|",
    ]
    rows += [_row(one.name, one.margins, one.named, one.highest, one.violins) for one in found]
    means = [float(np.mean([getattr(one, key) for one in found])) for key in _SHARES]
    rows.append(_row("**all**", np.concatenate([one.margins for one in found]), *means))
    for at, words in enumerate(ELSEWHERE):
        margins = np.concatenate([one.elsewhere[at] for one in found])
        rows.append(f"| all, {words} | {_shares(margins)} | | | |")
    return "\n".join(rows)


_SHARES = ("named", "highest", "violins")
ELSEWHERE = {
    "with the tail": hall(tail=True),
    "at the conductor's ear": hall(seat="conductor"),
}


def _row(name: str, margins: Floats, named: float, highest: float, violins: float) -> str:
    return f"| {name} | {_shares(margins)} | {named:.2f} | {highest:.2f} | {violins:.2f} |"


def _shares(margins: Floats) -> str:
    return (
        f"{margins.size} | {np.mean(margins < 0):.1%} | {np.mean(margins < 6):.1%} "
        f"| {np.median(margins):+.1f} dB"
    )


def annotated(
    root: Path = ROOT, only: Collection[str] = ()
) -> Iterator[tuple[Analysis, list[Flags]]]:
    """Yield each annotated movement with the rows of its passages of a quarter note or more.

    With `only` those movements alone, by the names of their files without ending.
    """
    for table_file in sorted((root / "tune").glob("*_annotations.csv")):
        name = table_file.name.removesuffix("_annotations.csv")
        if only and name not in only:
            continue
        analysis = Analysis(read(root / "orchestra" / f"{name}.mxl"))
        yield analysis, passages_of(analysis, table_file)


def _measure(table_file: Path, root: Path) -> Movement:
    name = table_file.name.removesuffix("_annotations.csv")
    analysis = Analysis(read(root / "orchestra" / f"{name}.mxl"))
    hearing, slices = analysis.hearing, analysis.slices
    weight = ticks_of_rows(analysis)
    leading = hearing.strand == analysis.tune.strand[slices.row_slice]
    highest, violins = _highest(analysis), _first_violins(analysis)
    agreed, total = np.zeros(3), 0.0
    for rows in passages_of(analysis, table_file):
        for at, guess in enumerate((leading, highest, violins)):
            agreed[at] += weight[rows & guess].sum()
        total += float(weight[rows].sum())
    places = [analysis, *(Analysis(analysis.score, hall=other) for other in ELSEWHERE.values())]
    here, *elsewhere = (margins(place, table_file) for place in places)
    return Movement(name.replace("_", " "), here, tuple(elsewhere), *(agreed / total).tolist())


def margins(analysis: Analysis, table_file: Path) -> Floats:
    """Return the median margin in dB of each annotated passage."""
    weight, rows = ticks_of_rows(analysis), analysis.hearing.rows
    return np.array(
        [
            weighted_median(rows.margin_db[chosen], weight[chosen])
            for chosen in passages_of(analysis, table_file)
        ]
    )


def ticks_of_rows(analysis: Analysis) -> Floats:
    """Return the length of the slice of each row in ticks."""
    slices = analysis.slices
    weight: Floats = (slices.stop - slices.start)[slices.row_slice].astype(np.float64)
    return weight


def passages_of(analysis: Analysis, table_file: Path) -> list[Flags]:
    """Return the rows of each annotated passage: the named part until the next annotation.

    Passages in which it sounds for less than a quarter note are left out.
    """
    score, slices = analysis.score, analysis.slices
    order = {part.id: index for index, part in enumerate(score.parts)}
    of_line = np.array([order[line.part] for line in analysis.playing.lines])
    line = np.array([tone.line for tone in analysis.playing.tones], dtype=np.int64)
    part, start = of_line[line[slices.row_tone]], slices.start[slices.row_slice]
    with table_file.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    stamps = [float(row["qstamp"]) * score.ticks_per_quarter for row in rows]
    ends = [*stamps[1:], score.bars[-1].start + score.bars[-1].length]
    found = [
        (part == int(row["part_num"])) & (start >= first) & (start < last)
        for row, first, last in zip(rows, stamps, ends, strict=True)
    ]
    ticks = ticks_of_rows(analysis)
    return [rows for rows in found if ticks[rows].sum() >= score.ticks_per_quarter]


def _highest(analysis: Analysis) -> Flags:
    """Return the rows whose strand holds the highest pitch of its slice."""
    slices, hearing = analysis.slices, analysis.hearing
    midi = np.array([-1.0 if tone.unpitched else tone.midi for tone in analysis.playing.tones])
    pitch = midi[slices.row_tone]
    top = np.full(slices.start.size, -1.0)
    np.maximum.at(top, slices.row_slice, pitch)
    return np.isin(hearing.strand, hearing.strand[pitch == top[slices.row_slice]])


def _first_violins(analysis: Analysis) -> Flags:
    """Return the rows whose strand the first violins belong to."""
    first = [
        index
        for index, line in enumerate(analysis.playing.lines)
        if line.instrument == "violin" and (not line.numbers or 1 in line.numbers)
    ][:1]
    strand = analysis.hearing.strand
    return np.isin(strand, strand[np.isin(analysis.hearing.line, first)])
