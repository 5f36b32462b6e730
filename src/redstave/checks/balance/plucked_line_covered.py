"""The check `plucked-line-covered`."""

from collections.abc import Iterator

import numpy as np

from redstave.analysis import Analysis
from redstave.analysis.passages import Heard, Passage, heard, passages
from redstave.analysis.plucked import plucked_attacks, plucked_tones
from redstave.analysis.spots import spot_of
from redstave.analysis.words import coverers, covering_parts
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
        plucked line that doubles another one is judged together with it and is not reported.

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
    attacks_alone = plucked_attacks(analysis)
    bar = 4 * analysis.score.ticks_per_quarter
    for passage in passages(analysis.hearing, attacks_alone, bar, analysis.score.ticks_per_quarter):
        result = heard(analysis.hearing, passage.rows)
        attacks = np.unique(analysis.slices.row_tone[passage.rows]).size
        if attacks >= limits["least_attacks"] and result.chance < limits["least_chance"]:
            yield _finding(analysis, passage, result, attacks, limits)


def _finding(
    analysis: Analysis, passage: Passage, result: Heard, attacks: int, limits: Limits
) -> Finding:
    return Finding(
        "plucked-line-covered",
        (spot_of(analysis, passage),),
        (
            Evidence("margin of the attacks", round(result.margin_db, 1), "dB", 0.0),
            Evidence("uncertainty of the margin (one sd)", round(result.sd_db, 1), "dB"),
            Evidence("chance of being heard", round(result.chance, 2), "", limits["least_chance"]),
            Evidence("plucked notes in the passage", attacks, "notes", limits["least_attacks"]),
        ),
        (
            ("instrument", analysis.playing.lines[passage.line].name),
            ("others", coverers(analysis, result)),
        ),
        context=covering_parts(analysis, result),
    )
