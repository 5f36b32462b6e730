"""The check `tune-submerged`."""

from collections.abc import Iterator

import numpy as np

from redstave.analysis import Analysis
from redstave.analysis.leading import LEAST_CHANCE
from redstave.analysis.passages import Passage, by_strand, heard, passages
from redstave.analysis.prominence import Standing, standing
from redstave.analysis.spots import spot_of
from redstave.analysis.tables import cited
from redstave.analysis.words import coverers, covering_parts, loudest_first
from redstave.checks.registry import CannotJudge, Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding
from redstave.model.role import Role

RANGE = cited("prominence", "tune", "lead")


@check(
    "tune-submerged",
    Claim.RISK,
    sources=("listeners", "glasberg-moore-2005", "common-practice"),
    settings=(
        Setting(
            "least_lead",
            RANGE.numbers[0],
            "log2 of a loudness ratio",
            "the 5th percentile of masters' tunes: a tune that stands out less is reported",
            "listeners",
        ),
        Setting(
            "least_confidence",
            0.6,
            "share",
            "how sure it must be that this is the tune",
            "common-practice",
        ),
        Setting(
            "least_quarters",
            4.0,
            "quarter notes",
            "shorter passages are left alone",
            "common-practice",
        ),
    ),
)
def tune_submerged(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Find tunes that can be heard, but stand out less than masters' tunes do.

    What it reports
        A tune that is audible and yet so much softer than what sounds with it that the ear will
        take something else for the foreground.

    Why it matters
        To be audible is not enough: whoever listens follows what stands out, and takes the rest
        for background.

    How it is computed
        The loudness of the tune's strand in the company of all else is set against that of the
        strongest other strand, over the time of the passage. The limit is the value below which
        one in twenty of the passages lies that listeners named as the tune in masters' scores.
        What is so soft that its audibility is in doubt belongs to `tune-covered`.

    Limits
        One in twenty masters' tunes would be reported: quiet counter-statements, a tune handed
        through a held chord. Which line is the tune is taken from the page; say so where it is
        another. An estimate for one seat in a good hall.

    Sources
        The range: measured on movements whose main line listeners named. Partial loudness:
        Glasberg and Moore 2005.
    """
    if len(analysis.unheard) == len(analysis.playing.lines):
        raise CannotJudge("no instrument in this score is known")
    hearing, quarter = analysis.hearing, analysis.score.ticks_per_quarter
    rows = analysis.roles.rows(analysis.slices, hearing.line, Role.TUNE) & analysis.sound.sustained
    submerged = [
        passage
        for passage in passages(hearing, rows, quarter, quarter)
        if passage.quarters >= limits["least_quarters"] and _is_submerged(analysis, passage, limits)
    ]
    for doubled in by_strand(hearing, submerged):
        yield _finding(analysis, doubled, limits)


def _is_submerged(analysis: Analysis, passage: Passage, limits: Limits) -> bool:
    lead = _standing(analysis, [passage]).lead
    sure = analysis.roles.confidence[analysis.slices.row_slice[passage.rows], passage.line].mean()
    return (
        bool(lead < limits["least_lead"] and sure >= limits["least_confidence"])
        and heard(analysis.hearing, passage.rows).chance >= LEAST_CHANCE
    )


def _standing(analysis: Analysis, doubled: list[Passage]) -> Standing:
    rows = np.concatenate([passage.rows for passage in doubled])
    return standing(analysis.hearing, analysis.prominence, rows)


def _finding(analysis: Analysis, doubled: list[Passage], limits: Limits) -> Finding:
    result = heard(analysis.hearing, np.concatenate([passage.rows for passage in doubled]))
    here = _standing(analysis, doubled)
    return Finding(
        "tune-submerged",
        tuple(spot_of(analysis, passage) for passage in doubled),
        (
            Evidence(
                "loudness of the tune over the strongest other strand",
                round(here.lead, 1),
                "log2 of the ratio",
                round(limits["least_lead"], 1),
            ),
            Evidence("share of the tune in all that is heard", round(here.share, 2), "share"),
            Evidence("median of masters' tunes", RANGE.numbers[2], "log2 of the ratio"),
            Evidence("margin above masked threshold", round(result.margin_db, 1), "dB"),
        ),
        (
            ("instrument", loudest_first(analysis, doubled)),
            ("others", coverers(analysis, result)),
        ),
        context=covering_parts(analysis, result),
    )
