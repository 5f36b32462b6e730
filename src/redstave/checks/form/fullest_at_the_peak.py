"""The credit `fullest-at-the-peak`."""

from collections.abc import Iterator

import numpy as np

from redstave.analysis import Analysis
from redstave.analysis.form import bar_levels
from redstave.analysis.sections import sounding_share
from redstave.analysis.spots import bars_spot
from redstave.checks.registry import CannotJudge, Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding


@check(
    "fullest-at-the-peak",
    Claim.CREDIT,
    sources=("rk", "common-practice"),
    settings=(
        Setting(
            "most_share_full",
            0.34,
            "share of bars",
            "a score that is as full as its peak for longer than this has no peak",
            "common-practice",
        ),
    ),
)
def fullest_at_the_peak(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Praise a climax that is also the fullest scoring.

    What it reports
        The loudest bars of the piece are the ones in which most lines sound, and full scoring is
        not spent elsewhere.

    Why it matters
        A crescendo over the form is made by adding instruments more than by letters; a tutti kept
        for one place makes that place the goal.

    How it is computed
        For each bar the written levels of all sounding tones are averaged by time, and the sounding
        lines counted. The bar with the highest average must hold at least nine tenths of the
        greatest number of lines, and such fullness must be rare in the piece.

    Limits
        Levels are as written; a quiet climax is not seen.

    Sources
        That a crescendo adds strings, woodwind and brass in turn: Rimsky-Korsakov. The limits are
        ours (common practice, no source).
    """
    if analysis.slices.start.size == 0:
        raise CannotJudge("no instrument that plays in this score is known")
    share = sounding_share(analysis.slices, analysis.playing, len(analysis.score.bars))
    lines = share.sum(axis=1)
    loudness = bar_levels(analysis)
    peak = int(loudness.argmax())
    full = lines >= 0.9 * lines.max()
    if loudness[peak] <= np.median(loudness[lines > 0]) + 1.0:
        return
    if full[peak] and full.mean() <= limits["most_share_full"]:
        first, last = _run(full, peak)
        yield Finding(
            "fullest-at-the-peak",
            (bars_spot(analysis, first, last),),
            _evidence(loudness[peak], lines[peak], full.mean(), limits["most_share_full"]),
        )


def _evidence(level: float, lines: float, share: float, most: float) -> tuple[Evidence, ...]:
    return (
        Evidence("mean written level at the peak", round(float(level), 1), "level"),
        Evidence("lines sounding at the peak", round(float(lines), 1), "lines"),
        Evidence("share of bars as full as that", round(float(share), 2), "share of bars", most),
    )


def _run(flags: np.ndarray[tuple[int], np.dtype[np.bool_]], at: int) -> tuple[int, int]:
    """Return the first and last index of the unbroken run of true flags around `at`."""
    first = last = at
    while first > 0 and flags[first - 1]:
        first -= 1
    while last + 1 < flags.size and flags[last + 1]:
        last += 1
    return first, last
