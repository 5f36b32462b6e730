"""The check `score-order-and-brackets`."""

from collections.abc import Iterator
from itertools import pairwise

from redstave.analysis import Analysis
from redstave.analysis.staffing import staffing
from redstave.checks.registry import CannotJudge, Limits, check
from redstave.model.finding import Claim, Evidence, Finding, Spot

#: The order of families down the page; harp and keyboards, and soloists, may stand on either side.
ORDER = {
    "woodwind": 0,
    "brass": 1,
    "percussion": 2,
    "harp": 3,
    "keyboard": 3,
    "voice": 3,
    "strings": 4,
}
LEAST_PARTS = 6


@check("score-order-and-brackets", Claim.QUESTION, sources=("dolm", "common-practice"))
def score_order_and_brackets(analysis: Analysis, _: Limits) -> Iterator[Finding]:
    """Ask about staves that stand out of the usual order of the score.

    What it reports
        Staves of a family that stand above a family they usually stand below: strings over brass,
        brass over woodwind.

    Why it matters
        A conductor finds an instrument by its place on the page, without reading names. What
        stands elsewhere is looked for in vain when it matters.

    How it is computed
        Families from the top: woodwind, brass, percussion, harp and keyboards, strings. A stave
        whose family comes before that of the stave above it is out of order.

    Limits
        Older scores have orders of their own, with timpani or trumpets on top; where the music is
        older than about 1830 this question does not apply. Brackets are not judged.

    Sources
        dolm: the modern order of the score. The scores it does not apply to: common practice.
    """
    crew = staffing(analysis.playing)
    known = [
        (part, ORDER[crew[part.id].family])
        for part in analysis.score.parts
        if part.id in crew and crew[part.id].family in ORDER
    ]
    if len(known) < LEAST_PARTS:
        raise CannotJudge("too few staves were recognised to speak of a score order")
    astray = [
        below for (_, high), (below, low) in pairwise(known) if low < high and not _free(high)
    ]
    if astray:
        yield Finding(
            "score-order-and-brackets",
            tuple(Spot(0, 0, part.id, 1, 0) for part in astray),
            (Evidence("staves out of order", len(astray), "staves"),),
        )


def _free(rank: int) -> bool:
    """Tell whether a family may stand on either side: harp, keyboards and soloists may."""
    return rank == ORDER["harp"]
