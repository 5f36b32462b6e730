"""The credit `divisions-marked`."""

from collections.abc import Iterator

from redstave.analysis import Analysis
from redstave.analysis.spots import bars_spot
from redstave.checks.needs import bowed, too_few
from redstave.checks.registry import Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding


@check(
    "divisions-marked",
    Claim.CREDIT,
    sources=("reading1", "common-practice"),
    settings=(
        Setting(
            "least_passages", 4.0, "passages", "with fewer nothing is shown", "common-practice"
        ),
    ),
)
def divisions_marked(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Praise string staves that say how to divide.

    What it reports
        Every passage of several notes at once in the string sections stands under a word that says
        who plays which: div., non div., unis., soli.

    Why it matters
        Without the word each desk decides for itself, and the first rehearsal goes by with
        pencils.

    How it is computed
        The passages of several notes at once are gathered, and those without a word in force
        counted. There must be none, and enough passages to speak of.

    Limits
        Whether the division leaves enough players to each part is judged elsewhere.

    Sources
        reading1: div., unis., tutti and solo always explicit. The number: common practice.
    """
    bowed(analysis)
    passages = [one for one in analysis.double_notes if one.section]
    if len(passages) < limits["least_passages"]:
        raise too_few(
            len(passages),
            "passage of several notes at once in the strings",
            "passages of several notes at once in the strings",
        )
    if not any(one.unmarked for one in passages):
        yield Finding(
            "divisions-marked",
            (bars_spot(analysis, 0, len(analysis.score.bars) - 1),),
            (
                Evidence("passages of several notes at once", len(passages), "passages"),
                Evidence("of them without a word", 0, "passages", 0),
            ),
        )
