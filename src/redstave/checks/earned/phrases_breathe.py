"""The credit `phrases-breathe`."""

from collections.abc import Iterator

from redstave.analysis import Analysis
from redstave.analysis.spots import bars_spot
from redstave.analysis.winded import bound_notes, bound_runs, breath_seconds
from redstave.checks.needs import too_few, winded
from redstave.checks.registry import Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding


@check(
    "phrases-breathe",
    Claim.CREDIT,
    sources=("unsw", "common-practice"),
    settings=(
        Setting("least_slurs", 20.0, "slurs", "with fewer nothing is shown", "common-practice"),
        Setting(
            "most_share",
            0.8,
            "share of a breath",
            "the longest slur may take this much of a comfortable breath",
            "common-practice",
        ),
    ),
)
def phrases_breathe(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Praise wind slurs that leave room to breathe.

    What it reports
        All slurs of the winds lie well within one breath.

    Why it matters
        The phrasing was written for lungs, not carried over from a keyboard.

    How it is computed
        Every run of notes bound by slurs is held against the breath table at its own level; the
        longest must take no more than most_share of a comfortable breath.

    Limits
        Where the slurs break is not judged. Advice on breath defers to the players.

    Sources
        unsw for the flow of air; the seconds are common practice.
    """
    shares = []
    for wind in winded(analysis):
        for run in bound_runs(wind, bound_notes(analysis.score, wind.part)):
            limit = breath_seconds(wind.line.instrument, run[0].level)
            if limit and len(run) > 1:
                shares.append((run[-1].stop_s - run[0].start_s) / limit)
    if len(shares) < limits["least_slurs"]:
        raise too_few(len(shares), "slur in the winds", "slurs in the winds")
    longest, most = max(shares), limits["most_share"]
    if longest <= most:
        yield Finding(
            "phrases-breathe",
            (bars_spot(analysis, 0, len(analysis.score.bars) - 1),),
            (
                Evidence("slurs of the winds", len(shares), "slurs"),
                Evidence("longest of them", round(longest, 2), "share of a breath", most),
            ),
        )
