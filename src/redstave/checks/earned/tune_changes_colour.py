"""The credit `tune-changes-colour`."""

from collections.abc import Iterator

import numpy as np

from redstave.analysis import Analysis
from redstave.analysis.page import in_words
from redstave.analysis.spots import bars_spot
from redstave.checks.registry import CannotJudge, Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding


@check(
    "tune-changes-colour",
    Claim.CREDIT,
    sources=("mto", "common-practice"),
    settings=(
        Setting(
            "least_carriers",
            3.0,
            "instruments",
            "so many different instruments must carry the tune",
            "common-practice",
        ),
        Setting(
            "least_share",
            0.08,
            "share of time",
            "an instrument counts when it leads for at least this share of the piece",
            "common-practice",
        ),
        Setting(
            "families",
            2.0,
            "families",
            "and they must come from so many families",
            "common-practice",
        ),
    ),
)
def tune_changes_colour(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Praise a tune that travels through the orchestra.

    What it reports
        The leading line is carried by several instruments of different families in turn.

    Why it matters
        Colour is what an orchestra has and a piano has not. A tune that changes hands is heard
        anew each time.

    How it is computed
        The line that leads is followed through the piece. Instruments that lead for a fair share of
        the time are counted, with their families.

    Limits
        The rule for the leading line errs in about three moments of ten. Whether the changes fall
        where the form turns is not judged.

    Sources
        mto: contrast of timbre as what parts sections. The numbers: common practice.
    """
    lines, seconds = analysis.playing.lines, analysis.slices.seconds
    leading = analysis.tune.line
    if not (leading >= 0).any():
        raise CannotJudge("no line could be taken as the tune")
    time = np.bincount(leading[leading >= 0], seconds[leading >= 0], minlength=len(lines))
    shares: dict[str, float] = {}
    for line, spent in zip(lines, time.tolist(), strict=True):
        shares[line.instrument] = shares.get(line.instrument, 0.0) + spent / time.sum()
    carriers = [name for name, share in shares.items() if name and share >= limits["least_share"]]
    families = {line.family for line in lines if line.instrument in carriers}
    if len(carriers) >= limits["least_carriers"] and len(families) >= limits["families"]:
        names = [analysis.book[name].name.lower() for name in carriers if name in analysis.book]
        yield Finding(
            "tune-changes-colour",
            (bars_spot(analysis, 0, len(analysis.score.bars) - 1),),
            (
                Evidence(
                    "instruments that carry the tune",
                    len(carriers),
                    "instruments",
                    limits["least_carriers"],
                ),
                Evidence("families", len(families), "families", limits["families"]),
            ),
            (("instruments", in_words(names)),),
        )
