"""A trial against hearing the whole score again.

A choir (strings, brass, woodwind in turn) is told to play two levels softer in 16 bars, at places
spread over the movement: the change is made, the score is heard again, and every line is compared
before and after. CPU milliseconds of this process in one run, medians; the ratio is against the
same changed score analysed from nothing, the page being read already. Then a way out: the search
for the smallest changes that bring a line to be heard in four bars, everything included.
"""

import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial
from pathlib import Path
from statistics import median
from typing import TypeVar

from redstave.analysis import Analysis
from redstave.model.change import Change, Step
from redstave.reading import read
from redstave.trial import Trial, attempt, ways_out
from redstave.trial.compare import outcome

Result = TypeVar("Result")

ROOT = Path(__file__).resolve().parents[1]
SHARED = ROOT.parent / "shared" / "scores"
SCORES = (
    ROOT / "src/redstave/app/demo/orchestra.musicxml",
    SHARED / "orchestra/Brahms_Op.90_3.mxl",
    SHARED / "orchestra/Beethoven_Op.67_1.mxl",
    SHARED / "orchestra/Boulanger_Dun_matin_de_printemps.mxl",
)
BARS, PLACES, SEARCHED = 16, 8, 4
CHOIRS = ("strings", "brass", "woodwind")


def table() -> str:
    """Measure each score; FileNotFoundError where the scores are not there."""
    rows = [
        "| score | tones | a trial, ms | from nothing, ms | ratio | a way out, ms |",
        "|---|---:|---:|---:|---:|---:|",
    ]
    for path in SCORES:
        analysis = Analysis(read(path))
        _ = analysis.hearing, analysis.tune
        tried = [_timed(partial(_tried, analysis, change)) for change in _changes(analysis)]
        spent = median(milliseconds for milliseconds, _ in tried)
        whole = median(_timed(partial(_from_nothing, one))[0] for _, one in tried[::3])
        searched = median(
            _timed(partial(ways_out, analysis, *where))[0] for where in _least_heard(analysis)
        )
        rows.append(
            f"| {path.stem} | {len(analysis.playing.tones)} | {spent:.0f} | {whole:.0f} | "
            f"{whole / spent:.1f} | {searched:.0f} |"
        )
    return "\n".join(rows)


def _timed(work: Callable[[], Result]) -> tuple[float, Result]:
    """Return the CPU milliseconds some work takes, and its result."""
    start = time.process_time()
    result = work()
    return 1000.0 * (time.process_time() - start), result


def _tried(analysis: Analysis, change: Change) -> Trial:
    trial = attempt(analysis, [change])
    assert trial.lines
    return trial


def _from_nothing(trial: Trial) -> Analysis:
    analysis = replace(trial.after, earlier=None)
    assert analysis.hearing.line.size
    return analysis


def _places(analysis: Analysis, bars: int) -> Iterator[int]:
    """Yield the first bars (indices) of stretches spread over the score."""
    last = max(0, len(analysis.score.bars) - bars)
    return (round(place * last / (PLACES - 1)) for place in range(PLACES))


def _changes(analysis: Analysis) -> Iterator[Change]:
    """Yield a change of every choir that plays at every place."""
    lines, bars = analysis.playing.lines, analysis.score.bars
    for first in _places(analysis, BARS):
        last = min(first + BARS, len(bars)) - 1
        playing = {tone.line for tone in analysis.playing.tones if first <= tone.bar <= last}
        for family in CHOIRS:
            choir = [line.id for at, line in enumerate(lines) if line.family == family]
            if any(lines[at].id in choir for at in playing):
                yield Change(tuple(choir), first, last, Step(-2.0))


def _least_heard(analysis: Analysis) -> Iterator[tuple[int, int, int]]:
    """Yield, for stretches of four bars, the line with the lowest margin, and the bars."""
    for first in _places(analysis, SEARCHED):
        last = min(first + SEARCHED, len(analysis.score.bars)) - 1
        margins = {
            at: found.heard.margin_db
            for at in range(len(analysis.playing.lines))
            if (found := outcome(analysis.hearing, at, first, last)) is not None
        }
        if margins:
            yield min(margins, key=lambda at: margins[at]), first, last
