"""The check `bar-duration-wrong`."""

from collections.abc import Iterator, Sequence

from redstave.analysis import Analysis
from redstave.analysis.spots import bars_spot
from redstave.checks.grouping import joined
from redstave.checks.registry import Limits, check
from redstave.model.finding import Claim, Evidence, Finding, Spot
from redstave.model.score import Problem

IN_A_PART = frozenset({"overfull-bar", "unequal-bar"})  # one part against the others or the metre
IN_ALL = frozenset({"overfull-bar", "short-bar"})  # all parts alike against the metre


@check("bar-duration-wrong", Claim.RISK, sources=("silverman", "common-practice"))
def bar_duration_wrong(analysis: Analysis, _: Limits) -> Iterator[Finding]:
    """Find bars whose notes and rests do not add up.

    What it reports
        Bars in which a part holds more or less than its metre, or less than the other parts; as a
        question, bars in which all parts agree on another length than the metre says.

    Why it matters
        Nobody can count such a bar. The conductor beats four, the oboe reads three and a half, and
        the rehearsal stops while somebody looks for the missing rest.

    How it is computed
        The reader adds up the notes and rests of every part in every bar when it lays the parts
        beside each other. Where they do not fit it says what it assumed; these are its places.

    Limits
        A first bar that is an upbeat, the last bar that completes it, the two halves of a bar that
        a repeat divides, and bars that the file itself calls irregular are left alone. A second
        voice may end before its bar does. A cadenza without a change of metre is reported.

    Sources
        silverman: bars that do not add up, jumbled rests. What is left alone: common practice.
    """
    problems = [one for one in analysis.score.problems if one.bar]
    parts = [one for one in problems if one.code in IN_A_PART and one.part]
    whole = [one for one in problems if one.code in IN_ALL and not one.part]
    told = {one.bar for one in whole}
    parts = [one for one in parts if one.bar not in told]
    for found, claim in ((parts, Claim.RISK), (whole, Claim.QUESTION)):
        if found:
            yield _finding(analysis, found, claim)


def _finding(analysis: Analysis, found: Sequence[Problem], claim: Claim) -> Finding:
    unlisted = sum(one.times for one in analysis.score.problems if not one.bar and one.times > 1)
    told = [Evidence("bars that do not add up", len(found), "bars")]
    if unlisted:
        told.append(Evidence("further problems of the file, not listed", unlisted))
    return Finding(
        "bar-duration-wrong",
        joined(_spot(analysis, one) for one in found),
        tuple(told),
        (
            ("found", found[0].text.replace(" in this bar", "").rstrip(".")),
            ("first", found[0].bar),
        ),
        claim,
    )


def _spot(analysis: Analysis, problem: Problem) -> Spot:
    """Return the bar of a problem; where a number stands twice, the first bar that bears it."""
    bar = next(one.index for one in analysis.score.bars if one.number == problem.bar)
    if not problem.part:
        return bars_spot(analysis, bar, bar)
    return Spot(bar, 0, problem.part, 1, bar)
