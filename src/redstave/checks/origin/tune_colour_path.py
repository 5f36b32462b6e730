"""The credit `tune-colour-path`."""

from collections.abc import Iterator

from redstave.analysis import Analysis
from redstave.analysis.page import in_words
from redstave.analysis.spots import bars_spot
from redstave.checks.needs import with_original
from redstave.checks.registry import CannotJudge, Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding
from redstave.model.role import Role
from redstave.original.colours import Carried, carried, changes
from redstave.original.form import sections_of


@check(
    "tune-colour-path",
    Claim.CREDIT,
    sources=("mto", "common-practice"),
    settings=(
        Setting(
            "least_sections", 3.0, "sections", "with fewer there is no path", "common-practice"
        ),
        Setting(
            "least_changes",
            0.66,
            "share of borders",
            "so many borders of sections must bring other hands",
            "common-practice",
        ),
        Setting(
            "least_carried",
            0.85,
            "share of tones",
            "so much of the tune must sound in every section",
            "common-practice",
        ),
    ),
)
def tune_colour_path(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Praise a tune whose colours change where the form does.

    What it reports
        From section to section other instruments take over the tune of the piano piece, and none of
        it is lost on the way.

    Why it matters
        A new colour for a new section tells the listener where he is. The colours of the tune are
        the plan of the whole piece in little.

    How it is computed
        For each section the instruments that sound at least half of the tones of the tune are
        noted; at a border others take over if less than half of them all stay.

    Limits
        Whether the colours are well chosen, and whether they are heard, is not judged here.

    Sources
        mto: contrast of timbre as what parts sections. The limits are ours.
    """
    with_original(analysis)
    found = carried(analysis, (Role.TUNE,), sections_of(analysis))
    if len(found) < limits["least_sections"]:
        raise CannotJudge("the page marks too few sections with the tune in them")
    changed = changes(found)
    whole = all(one.share >= limits["least_carried"] and one.hands for one in found)
    if whole and changed >= limits["least_changes"] * (len(found) - 1):
        yield Finding(
            "tune-colour-path",
            (bars_spot(analysis, 0, len(analysis.score.bars) - 1),),
            (
                Evidence("sections with the tune", len(found), "sections"),
                Evidence("borders at which others take over", changed, "borders"),
            ),
            (("path", _path(analysis, found)),),
        )


def _path(analysis: Analysis, found: tuple[Carried, ...]) -> str:
    """Return the hands from section to section: "clarinet, then violin, then cello"."""
    steps = (
        in_words(analysis.book[name].name.lower() for name in sorted(one.instruments))
        for one in found
        if all(name in analysis.book for name in one.instruments)
    )
    return ", then ".join(steps)
