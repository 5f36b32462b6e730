"""The credit `swells-arrive`."""

from collections.abc import Iterator

from redstave.analysis import Analysis
from redstave.analysis.dynamics import Kind
from redstave.analysis.spots import bars_spot
from redstave.analysis.swells import courses
from redstave.checks.needs import too_few
from redstave.checks.registry import Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding


@check(
    "swells-arrive",
    Claim.CREDIT,
    sources=("bennew", "mwiz", "common-practice"),
    settings=(
        Setting(
            "least_share", 0.95, "share of swells", "so many must have a goal", "common-practice"
        ),
        Setting("least_swells", 8.0, "swells", "with fewer nothing is shown", "common-practice"),
    ),
)
def swells_arrive(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Praise swells that say where they lead.

    What it reports
        Nearly all hairpins lead to a level, or come back by themselves.

    Why it matters
        A swell with a goal is a line the players can draw together; without one it is a gesture
        each makes in his own size.

    How it is computed
        Hairpins that follow each other are one course. A course counts as arriving when a level
        stands up to a beat after its end, or when it both rises and falls.

    Limits
        Crescendo and diminuendo in words are not counted.

    Sources
        bennew and mwiz: a level at both ends of a hairpin. The share: common practice.
    """
    found = [one for part in analysis.score.parts for one in courses(analysis.score, part)]
    if len(found) < limits["least_swells"]:
        raise too_few(len(found), "swell", "swells")
    arriving = [
        one for one in found if one.turns or any(goal.kind is Kind.LEVEL for goal in one.goals)
    ]
    share = len(arriving) / len(found)
    if share >= limits["least_share"]:
        yield Finding(
            "swells-arrive",
            (bars_spot(analysis, 0, len(analysis.score.bars) - 1),),
            (
                Evidence("swells", len(found), "swells"),
                Evidence(
                    "of them with a goal", round(share, 2), "share of swells", limits["least_share"]
                ),
            ),
        )
