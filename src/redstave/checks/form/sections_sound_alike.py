"""The check `sections-sound-alike`."""

from collections.abc import Iterator
from itertools import pairwise

import numpy as np

from redstave.analysis import Analysis
from redstave.analysis.sections import colours, sections, sounding_share
from redstave.analysis.spots import bars_spot
from redstave.checks.registry import CannotJudge, Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding


@check(
    "sections-sound-alike",
    Claim.QUESTION,
    sources=("wieland", "mto", "common-practice"),
    settings=(
        Setting(
            "most_distance",
            0.05,
            "cosine distance",
            "neighbouring sections nearer than this use the same colours",
            "common-practice",
        ),
        Setting(
            "least_sections", 3.0, "sections", "with fewer nothing is asked", "common-practice"
        ),
        Setting(
            "tutti_share",
            0.66,
            "share of bars",
            "a piece that is tutti for more of its bars than this has no contrast",
            "wieland",
        ),
    ),
)
def sections_sound_alike(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Ask about pieces that keep one colour from beginning to end.

    What it reports
        All neighbouring sections scored in nearly the same colours, or tutti for most of the piece.

    Why it matters
        Form is heard through colour. Where every section sounds like the one before, the listener
        loses the thread and the climax has nothing left to add.

    How it is computed
        The page is cut at letters, double bars and new keys; the share of time in which each
        instrument sounds gives a vector for each section, and neighbours are compared. A bar is
        tutti when nine tenths of the lines of the piece sound in it.

    Limits
        Register, articulation and level can make contrast without changing who plays.

    Sources
        wieland: marks off for more than two thirds tutti. mto: contrast makes boundaries.
    """
    if analysis.slices.start.size == 0:
        raise CannotJudge("no instrument that plays in this score is known")
    found = sections(analysis.score)
    share = sounding_share(analysis.slices, analysis.playing, len(analysis.score.bars))
    active = share.any(axis=0).sum()
    tutti = float(np.mean((share > 0).sum(axis=1) >= 0.9 * active))
    colour = colours(share, found, analysis.playing)
    alike = [1.0 - float(one @ two) < limits["most_distance"] for one, two in pairwise(colour)]
    whole = bars_spot(analysis, 0, len(analysis.score.bars) - 1)
    same = len(found) >= limits["least_sections"] and all(alike)
    if active > 2 and (same or tutti > limits["tutti_share"]):
        yield Finding(
            "sections-sound-alike",
            (whole,),
            (
                Evidence("sections on the page", len(found), "sections"),
                Evidence(
                    "bars in which nearly all play",
                    round(tutti, 2),
                    "share of bars",
                    limits["tutti_share"],
                ),
            ),
        )
