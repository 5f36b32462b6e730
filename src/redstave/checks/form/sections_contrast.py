"""The credit `sections-contrast`."""

from collections.abc import Iterator
from itertools import pairwise

from redstave.analysis import Analysis
from redstave.analysis.sections import Section
from redstave.analysis.spots import bars_spot
from redstave.checks.registry import CannotJudge, Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding
from redstave.original.form import form_of, sections_of


@check(
    "sections-contrast",
    Claim.CREDIT,
    sources=("mto", "common-practice"),
    settings=(
        Setting(
            "least_distance",
            0.25,
            "cosine distance",
            "neighbouring sections whose colours lie at least this far apart sound new",
            "common-practice",
        ),
    ),
)
def sections_contrast(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Praise a new section that is scored in new colours.

    What it reports
        A section whose instruments differ clearly from those of the section before.

    Why it matters
        A listener hears form through colour: a new section that sounds new is understood at once.

    How it is computed
        The page is cut at rehearsal letters, double bars, new keys and new tempi, and where the
        piano original is known, also where its music returns. For each section the share of time in
        which each instrument sounds is a vector; the distance of two neighbours is one minus the
        cosine between them.

    Limits
        Only who plays is compared, not how: a change of register, articulation or level alone is
        not seen. Without marked sections nothing can be said.

    Sources
        Contrast between successive blocks as what makes a boundary: McAdams, Goodchild and Soden
        2022. The measure and its limit are ours (common practice, no source).
    """
    if len(sections_of(analysis)) < 2:
        raise CannotJudge(
            "the page marks no sections (rehearsal letters, double bars, new keys or tempi)"
        )
    if analysis.slices.start.size == 0:
        raise CannotJudge("no instrument that plays in this score is known")
    found = form_of(analysis)
    for turn, (before, here) in zip(found.turns, pairwise(found.sections), strict=True):
        if turn.distance >= limits["least_distance"]:
            yield _finding(analysis, before.section, here.section, turn.distance, limits)


def _finding(
    analysis: Analysis, before: Section, here: Section, distance: float, limits: Limits
) -> Finding:
    bars = analysis.score.bars
    return Finding(
        "sections-contrast",
        (bars_spot(analysis, here.first, here.last),),
        (
            Evidence(
                "distance of colours from the section before",
                round(distance, 2),
                "cosine distance",
                limits["least_distance"],
            ),
        ),
        (("before", f"{bars[before.first].number}–{bars[before.last].number}"),),
    )
