"""The credit `accompaniment-varied`."""

from collections.abc import Iterator

from redstave.analysis import Analysis
from redstave.analysis.spots import bars_spot
from redstave.checks.needs import with_original
from redstave.checks.registry import CannotJudge, Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding
from redstave.model.role import Role
from redstave.original.colours import carried, changes
from redstave.original.form import sections_of

ACCOMPANY = (Role.FIGURE, Role.INNER, Role.PEDAL)


@check(
    "accompaniment-varied",
    Claim.CREDIT,
    sources=("nzqa", "common-practice"),
    settings=(
        Setting(
            "least_sections", 3.0, "sections", "with fewer nothing is shown", "common-practice"
        ),
        Setting(
            "least_kinds",
            3.0,
            "kinds",
            "the accompaniment must be given to so many different groups",
            "common-practice",
        ),
        Setting(
            "least_changes",
            0.66,
            "share of borders",
            "so many borders of sections must bring other hands",
            "common-practice",
        ),
    ),
)
def accompaniment_varied(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Praise an accompaniment that is scored anew from section to section.

    What it reports
        What accompanies in the piano piece is given to other instruments in most sections, while
        its tones are kept.

    Why it matters
        A pianist has one way to accompany for a whole piece. An orchestra tires the ear with it;
        a new accompaniment renews even a tune that returns unchanged.

    How it is computed
        For each section the instruments that sound at least half of the tones of the figures and
        inner voices are noted; at a border others take over if less than half of them all stay.

    Limits
        A change of rhythm within the same instruments is not counted.

    Sources
        nzqa: varied density of texture as a mark of merit. The limits are ours.
    """
    with_original(analysis)
    found = carried(analysis, ACCOMPANY, sections_of(analysis))
    if len(found) < limits["least_sections"]:
        raise CannotJudge("the page marks too few sections with an accompaniment in them")
    groups = {one.instruments for one in found}
    changed = changes(found)
    enough = len(groups) >= limits["least_kinds"] and all(one.hands for one in found)
    if enough and changed >= limits["least_changes"] * (len(found) - 1):
        yield Finding(
            "accompaniment-varied",
            (bars_spot(analysis, 0, len(analysis.score.bars) - 1),),
            (
                Evidence("sections with an accompaniment", len(found), "sections"),
                Evidence("different groups that play it", len(groups), "groups"),
                Evidence("borders at which others take over", changed, "borders"),
            ),
        )
