"""Measure how far tunes, inner strands and plucked lines stand out in masters' scores.

For the movements whose main line listeners have named, what Redstave computes for the named tunes
is summed up in five percentiles, and so it is for inner voices and plucked lines, which Redstave
finds by its own rules. Only the percentiles are written: facts about the scores, nothing of the
tables. The uncertainty of each is its standard deviation when movements are drawn with replacement.

    .venv/bin/python -m tools.make_prominence [--out FILE | --out -]
"""

import argparse
import sys
from collections.abc import Iterator
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from redstave.analysis import Analysis
from redstave.analysis.inner import inner_voices
from redstave.analysis.passages import passages
from redstave.analysis.plucked import plucked_attacks
from redstave.analysis.prominence import Standing, standing
from tools.evidence.listeners import ROOT, annotated

DATA = Path(__file__).resolve().parents[1] / "src" / "redstave" / "analysis" / "data"
Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

PERCENTILES = (5, 25, 50, 75, 95)
MEASURES = {
    "lead": "partial loudness over that of the strongest other strand, log2",
    "over-rest": "partial loudness over that of all other strands together, log2",
    "share": "part of all that is heard",
}
LEAST_ATTACKS = 4  # of a plucked line
DRAWS = 500

HEAD = """\
# How far strands stand out in masters' scores: the 5th, 25th, 50th, 75th and 95th percentile of
# passages. Written by tools/make_prominence.py; only these numbers come from the tables, nothing
# else of them is here. Uncertainty: standard deviation when movements are drawn with replacement.
"""
GROUPS = {
    "tune": "Passages of a quarter note or more that listeners named as the main line.",
    "inner": "Inner voices of soft chords struck together (redstave.analysis.inner).",
    "plucked": "Plucked lines of four notes or more that nobody doubles, by their attacks.",
}


def main(arguments: list[str] | None = None) -> None:
    """Measure all movements and write the data file."""
    parser = argparse.ArgumentParser(description="Measure and write percentiles.")
    parser.add_argument("--out", default=str(DATA / "prominence.toml"), help="- prints")
    chosen = parser.parse_args(arguments)
    text = written([measured(*movement) for movement in annotated(ROOT)])
    if chosen.out == "-":
        print(text, end="")
    else:
        Path(chosen.out).write_text(text, encoding="utf-8")
        print(f"wrote {chosen.out}", file=sys.stderr)


def measured(analysis: Analysis, named: list[Flags]) -> dict[str, Floats]:
    """Return what was measured in one movement: for each group [passages, measures]."""
    found = {
        "tune": [_standing(analysis, rows) for rows in named],
        "inner": list(inner(analysis)),
        "plucked": list(plucked(analysis)),
    }
    return {
        group: np.array([(one.lead, one.over_rest, one.share) for one in all_of_it if _known(one)])
        for group, all_of_it in found.items()
    }


def inner(analysis: Analysis) -> Iterator[Standing]:
    """Yield how far each inner voice of soft chords stands out."""
    for passage in inner_voices(analysis):
        yield standing(analysis.hearing, analysis.prominence, passage.rows)


def plucked(analysis: Analysis) -> Iterator[Standing]:
    """Yield how far each passage of a plucked line stands out."""
    bar = 4 * analysis.score.ticks_per_quarter
    for passage in passages(
        analysis.hearing, plucked_attacks(analysis), bar, analysis.score.ticks_per_quarter
    ):
        if np.unique(analysis.slices.row_tone[passage.rows]).size >= LEAST_ATTACKS:
            yield standing(analysis.hearing, analysis.prominence, passage.rows)


def _standing(analysis: Analysis, rows: Flags) -> Standing:
    return standing(analysis.hearing, analysis.prominence, np.flatnonzero(rows))


def _known(one: Standing) -> bool:
    return bool(np.isfinite(one.lead))


def written(movements: list[dict[str, Floats]]) -> str:
    """Return the data file for what was measured in some movements."""
    parts = [HEAD]
    for group, what in GROUPS.items():
        tables = [one[group] for one in movements if one[group].size]
        passages_in_all = sum(len(table) for table in tables)
        where = f"{passages_in_all} passages of {len(tables)} movements"
        parts.append(f"\n# {what} {where}.\n[{group}]\n")
        for at, (name, meaning) in enumerate(MEASURES.items()):
            columns = [table[:, at] for table in tables]
            values = np.percentile(np.concatenate(columns), PERCENTILES)
            parts.append(f"# {meaning}\n{name} = {_leaf(values, _spread(columns))}\n")
    return "".join(parts)


def _spread(columns: list[Floats]) -> Floats:
    """Return the standard deviation of each percentile when movements are drawn again."""
    draw = np.random.default_rng(1)
    drawn = [
        np.percentile(
            np.concatenate([columns[at] for at in draw.integers(len(columns), size=len(columns))]),
            PERCENTILES,
        )
        for _ in range(DRAWS)
    ]
    spread: Floats = np.std(drawn, axis=0)
    return spread


def _leaf(values: Floats, spread: Floats) -> str:
    told = ", ".join(f"{value:.2f}" for value in values)
    sd = ", ".join(f"{value:.2f}" for value in spread)
    return (
        f'{{ value = [{told}], unit = "1", uncertainty = [{sd}], '
        'source = "listeners", flag = "measured" }'
    )


if __name__ == "__main__":
    main()
