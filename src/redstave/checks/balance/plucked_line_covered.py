"""The check `plucked-line-covered`."""

from collections.abc import Iterator

import numpy as np

from redstave.analysis import Analysis
from redstave.analysis.passages import Passage, at_once, heard, passages
from redstave.analysis.plucked import plucked_attacks, plucked_tones
from redstave.analysis.spots import spot_of
from redstave.analysis.words import coverers, covering_parts, line_names, listed
from redstave.checks.registry import CannotJudge, Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding


@check(
    "plucked-line-covered",
    Claim.RISK,
    sources=("rk", "glasberg-moore-2005", "common-practice"),
    settings=(
        Setting(
            "least_chance",
            0.5,
            "share",
            "a passage is reported when the chance that its attacks are heard is lower than this",
            "common-practice",
        ),
        Setting(
            "least_attacks",
            4.0,
            "notes",
            "passages with fewer plucked notes are left alone",
            "common-practice",
        ),
    ),
)
def plucked_line_covered(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Find plucked lines that sustained instruments cover.

    What it reports
        A line of harp, celesta, harpsichord or pizzicato whose attacks the sustained instruments
        sounding with it cover.

    Why it matters
        A plucked tone is loud for a tenth of a second and then dies away; a sustained tone goes on.
        What was meant as sparkle or pulse is then work for the player and nothing for the hall.

    How it is computed
        The level of each plucked tone in the slice of its attack, with the drop in loudness that
        its decay time brings, is set against all other lines in the hall. A passage is reported
        when the median margin over its attacks says that it is more likely lost than heard. A
        plucked line that doubles another one is judged together with it and is not reported. Lines
        that are covered together are one finding, and so are the places of the same lines.

    Limits
        Levels of plucked strings are the least certain in the data (6 dB and more). An attack in a
        pause of the others is heard better than the margin says.

    Sources
        That sustained groups overpower pizzicato and soft plucked instruments:
        Rimsky-Korsakov, chapter I. Model error: Glasberg and Moore 2005.
    """
    if not plucked_tones(analysis).any():
        return
    if len(analysis.unheard) == len(analysis.playing.lines):
        raise CannotJudge("no instrument in this score is known")
    hearing, quarter = analysis.hearing, analysis.score.ticks_per_quarter
    covered = [
        passage
        for passage in passages(hearing, plucked_attacks(analysis), 4 * quarter, quarter)
        if _attacks(analysis, passage) >= limits["least_attacks"]
        and heard(hearing, passage.rows).chance < limits["least_chance"]
    ]
    for group in at_once(covered):
        yield _finding(analysis, group, limits)


def _attacks(analysis: Analysis, passage: Passage) -> int:
    return int(np.unique(analysis.slices.row_tone[passage.rows]).size)


def _finding(analysis: Analysis, group: list[Passage], limits: Limits) -> Finding:
    result = heard(analysis.hearing, np.concatenate([passage.rows for passage in group]))
    attacks = sum(_attacks(analysis, passage) for passage in group)
    lines = analysis.playing.lines
    return Finding(
        "plucked-line-covered",
        tuple(spot_of(analysis, passage) for passage in group),
        (
            Evidence("margin of the attacks", round(result.margin_db, 1), "dB", 0.0),
            Evidence("uncertainty of the margin (one sd)", round(result.sd_db, 1), "dB"),
            Evidence("chance of being heard", round(result.chance, 2), "", limits["least_chance"]),
            Evidence("plucked notes covered", attacks, "notes", limits["least_attacks"]),
        ),
        (
            ("instrument", listed(line_names(lines, (passage.line for passage in group)))),
            ("others", coverers(analysis, result)),
        ),
        context=covering_parts(analysis, result),
    )
