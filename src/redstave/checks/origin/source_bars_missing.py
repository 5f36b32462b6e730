"""The check `source-bars-missing`."""

from collections.abc import Iterator, Sequence

from redstave.analysis import Analysis
from redstave.analysis.page import in_words
from redstave.checks.needs import with_original
from redstave.checks.registry import Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding
from redstave.model.role import Role
from redstave.original.beside import Beside
from redstave.original.lost import around, missing_runs
from redstave.original.places import voice_spot


@check(
    "source-bars-missing",
    Claim.RISK,
    sources=("common-practice",),
    settings=(
        Setting("least_bars", 1.0, "bars", "shorter gaps are left alone", "common-practice"),
    ),
)
def source_bars_missing(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Report bars of the piano piece that the score lacks, or has only begun.

    What it reports
        Stretches of the original for which no bar of the score was found, and stretches of which
        only some of the voices are there.

    Why it matters
        Whoever sets a piece wants all of it. A bar may be lost in copying, and the end may not have
        been reached before the closing date; whether it was meant is what a reader asks first.

    How it is computed
        The bars of both are matched by what sounds in them and when, in order, in whatever key.
        Cuts, repeats and bars put in are found by that. What is left over on the side of the piano
        is reported between the bars of the score that stand on either side of it, unless bars that
        were not found in the piano piece stand there: these may be the same music, much changed.

    Limits
        A cut that the brief allows is reported too. A repeat that is written out in the piano piece
        and marked by signs in the score looks like a cut.

    Sources
        Common practice, no source.
    """
    both = with_original(analysis)
    runs = [run for run in missing_runs(both) if len(run) >= limits["least_bars"]]
    if runs:
        yield _finding(both, runs, "missing from this score", "not found")
    begun = [list(range(first, last + 1)) for first, last in both.match.unfinished]
    if begun:
        yield _finding(both, begun, "here in part only", "begun only")


def _finding(both: Beside, runs: Sequence[Sequence[int]], what: str, quantity: str) -> Finding:
    bars = sum(len(run) for run in runs)
    return Finding(
        "source-bars-missing",
        tuple(dict.fromkeys(voice_spot(both, *around(both, run), (Role.TUNE,)) for run in runs)),
        (
            Evidence(f"bars of the original {quantity}", bars, "bars"),
            Evidence("bars of the original", len(both.original.bars), "bars"),
        ),
        (
            ("missing", in_words(_name(both, run) for run in runs)),
            ("what", f"{'is' if bars == 1 else 'are'} {what}"),
        ),
    )


def _name(both: Beside, run: Sequence[int]) -> str:
    first, last = both.original.bars[run[0]].number, both.original.bars[run[-1]].number
    return f"bar {first}" if len(run) == 1 else f"bars {first} to {last}"
