"""The check `tune-covered`."""

from collections.abc import Iterator

import numpy as np

from redstave.analysis import Analysis
from redstave.analysis.leading import tune_rows
from redstave.analysis.passages import Passage, by_strand, heard, passages
from redstave.analysis.spots import spot_of
from redstave.analysis.words import coverers, covering_parts, loudest_first
from redstave.checks.registry import CannotJudge, Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding


@check(
    "tune-covered",
    Claim.RISK,
    sources=("glasberg-moore-2005", "rk", "common-practice"),
    settings=(
        Setting(
            "least_chance",
            0.7,
            "share",
            "a passage is reported when the chance that it is heard is lower than this",
            "common-practice",
        ),
        Setting(
            "least_quarters",
            2.0,
            "quarter notes",
            "passages that sound for less than this are left alone",
            "common-practice",
        ),
    ),
)
def tune_covered(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Find tunes that the hall will hardly hear.

    What it reports
        A line that is written as a tune and that everything else sounding covers, wholly or so far
        that hearing it is doubtful.

    Why it matters
        The listener has no page to follow: what is covered has not been composed for him. A mock-up
        hides this fault, because its levels can be set by hand.

    How it is computed
        A line counts as a tune where the page calls it leading (solo, espressivo …), where it
        carries the tune of the piano piece or has the signs of a tune (`redstave tune`), or, where
        no original tells, where it alone moves by steps. For each such
        passage the margin above masked threshold is computed with all other lines sounding in the
        hall; a line is judged together with its doublings. The chance that it is heard follows
        from the margin and its uncertainty.

    Limits
        An estimate for one seat in a good hall, with players who take the marks at their word.
        Plucked lines have a check of their own. Without the original nobody can be sure which
        line is the tune. Attention, the conductor's hand and a soloist's freedom are not in the
        model.

    Sources
        Partial loudness and its error of 3 dB: Glasberg and Moore 2005. That a soft line needs
        another register, colour or level than its accompaniment: Rimsky-Korsakov; common practice.
    """
    if len(analysis.unheard) == len(analysis.playing.lines):
        raise CannotJudge("no instrument in this score is known")
    hearing, quarter = analysis.hearing, analysis.score.ticks_per_quarter
    buried = [
        passage
        for passage in passages(hearing, tune_rows(analysis), quarter, quarter)
        if passage.quarters >= limits["least_quarters"]
        and heard(hearing, passage.rows).chance < limits["least_chance"]
    ]
    for doubled in by_strand(hearing, buried):
        yield _finding(analysis, doubled, limits)


def _finding(analysis: Analysis, doubled: list[Passage], limits: Limits) -> Finding:
    result = heard(analysis.hearing, np.concatenate([passage.rows for passage in doubled]))
    return Finding(
        "tune-covered",
        tuple(spot_of(analysis, passage) for passage in doubled),
        (
            Evidence("margin above masked threshold", round(result.margin_db, 1), "dB", 0.0),
            Evidence("uncertainty of the margin (one sd)", round(result.sd_db, 1), "dB"),
            Evidence("chance of being heard", round(result.chance, 2), "", limits["least_chance"]),
        ),
        (
            ("instrument", loudest_first(analysis, doubled)),
            ("others", coverers(analysis, result)),
            ("state", str(result.state)),
        ),
        context=covering_parts(analysis, result),
    )
