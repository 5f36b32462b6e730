"""The credit `tune-heard-throughout`."""

from collections.abc import Iterator

import numpy as np

from redstave.analysis import Analysis
from redstave.analysis.spots import bars_spot
from redstave.analysis.state import HEARD_FROM, chance_heard
from redstave.checks.registry import CannotJudge, Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding


@check(
    "tune-heard-throughout",
    Claim.CREDIT,
    sources=("glasberg-moore-2005", "common-practice"),
    settings=(
        Setting(
            "least_share",
            0.95,
            "share of time",
            "the tune must be safely heard for at least this share of its time",
            "common-practice",
        ),
    ),
)
def tune_heard_throughout(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Praise a score whose leading line is always safely heard.

    What it reports
        The line that leads stands clear of everything else nearly all the time.

    Why it matters
        Whatever else happens, the listener can follow the piece.

    How it is computed
        In each slice the leading strand is found (height, movement, theme) and its margin above
        masked threshold computed. The share of time in which it is heard with a chance of nine
        tenths or better must reach the limit.

    Limits
        The rule for the leading strand goes astray in about a quarter of the time, oftenest from a
        low tune to what lies above it; `tune-covered` looks for what else may be one.

    Sources
        Partial loudness and its error: Glasberg and Moore 2005. The limit is ours.
    """
    hearing, slices = analysis.hearing, analysis.slices
    leading = hearing.strand == analysis.tune.strand[slices.row_slice]
    if not leading.any():
        raise CannotJudge("no line could be taken as the tune")
    seconds = slices.row_seconds[leading]
    margin, sd = hearing.rows.margin_db[leading], hearing.rows.sd_db[leading]
    safe = np.array([chance_heard(*pair) >= HEARD_FROM for pair in zip(margin, sd, strict=True)])
    share = float(seconds[safe].sum() / seconds.sum())
    if share >= limits["least_share"]:
        evidence = Evidence(
            "time in which the leading line is safely heard",
            round(share, 3),
            "share of time",
            limits["least_share"],
        )
        whole = bars_spot(analysis, 0, len(analysis.score.bars) - 1)
        yield Finding("tune-heard-throughout", (whole,), (evidence,))
