"""The check `swell-without-arrival-in-form`."""

from collections.abc import Iterator

from redstave.analysis import Analysis
from redstave.analysis.rises import Rise, rises
from redstave.analysis.spots import bars_spot
from redstave.checks.registry import CannotJudge, Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding
from redstave.model.line import LEVEL_NUMBERS

LOUD = LEVEL_NUMBERS["f"]  # a rise that begins louder is no promise


@check(
    "swell-without-arrival-in-form",
    Claim.QUESTION,
    sources=("rk", "common-practice"),
    settings=(
        Setting("least_bars", 3.0, "bars", "shorter rises are gestures", "common-practice"),
        Setting(
            "least_share",
            0.6,
            "share of parts",
            "so many of the parts that play must rise together",
            "common-practice",
        ),
        Setting(
            "most_left",
            0.7,
            "share of lines",
            "where more of the lines go on, the texture counts as arriving",
            "common-practice",
        ),
    ),
)
def swell_without_arrival_in_form(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Ask about a long crescendo of many that leads to less.

    What it reports
        A rise over several bars, written for most of those who play, after which fewer play, no
        louder than before the rise began, although no soft level is written there.

    Why it matters
        A long crescendo is a promise. If the place it leads to is thinner and no louder, the
        listener hears a mistake, unless the page shows plainly that the drop is meant.

    How it is computed
        Crescendi, as hairpins and in words, that run at the same time in different parts are one
        rise. The lines that sound and their mean written level in its last bar and in the bar where
        it began are compared with the bar that follows it.

    Limits
        A sudden soft level is a known device: where the page writes p or softer, or "subito", at
        the arrival, nothing is asked; nor where the rise begins at f or louder. Accents and the
        weight of instruments are not counted.

    Sources
        rk: a crescendo over the form is made by adding instruments. The limits are ours.
    """
    if analysis.slices.start.size == 0:
        raise CannotJudge("no instrument that plays in this score is known")
    for rise in rises(analysis, limits["least_share"]):
        if rise.bars < limits["least_bars"] or rise.told_soft:
            continue
        left = rise.lines_after / max(rise.lines_before, 1e-9)
        fell = rise.level_after <= rise.level_start < LOUD
        if fell and left < limits["most_left"]:
            yield _finding(analysis, rise, left, limits)


def _finding(analysis: Analysis, rise: Rise, left: float, limits: Limits) -> Finding:
    return Finding(
        "swell-without-arrival-in-form",
        (bars_spot(analysis, rise.first, rise.arrival),),
        (
            Evidence("length of the rise", rise.bars, "bars", limits["least_bars"]),
            Evidence(
                "lines that go on at the arrival",
                round(left, 2),
                "share of lines",
                limits["most_left"],
            ),
            Evidence("mean level where the rise begins", round(rise.level_start, 1), "level"),
            Evidence("mean level at the arrival", round(rise.level_after, 1), "level"),
        ),
        (("arrival", analysis.score.bars[rise.arrival].number),),
    )
