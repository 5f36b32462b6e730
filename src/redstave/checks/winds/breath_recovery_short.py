"""The check `breath-recovery-short`."""

from collections.abc import Iterator
from itertools import pairwise

from redstave.analysis import Analysis
from redstave.analysis.stretches import spot_of_tones
from redstave.analysis.tables import cited
from redstave.analysis.winded import WindLine, bound_notes, bound_runs, breath_seconds
from redstave.checks.needs import by_tempo, tempo_used, winded
from redstave.checks.registry import Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding, Spot

LONG = frozenset({"oboe", "cor-anglais", "trombone", "bass-trombone", "tuba"})


@check(
    "breath-recovery-short",
    Claim.QUESTION,
    sources=("cox", "common-practice"),
    settings=(
        Setting(
            "near",
            0.85,
            "share of a breath",
            "a phrase this long needs recovery",
            "common-practice",
        ),
        Setting("least_places", 2.0, "places", "once in a piece is left alone", "common-practice"),
    ),
)
def breath_recovery_short(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Ask about long slurs that follow each other without time to recover.

    What it reports
        Two long slurs of one wind player in a row, each near the limit of a breath, with hardly any
        gap between.

    Why it matters
        One breath can be stretched, two in a row cannot. The second phrase comes in late, weak, or
        broken in the middle.

    How it is computed
        Runs of notes bound by slurs are held against the breath table at their level; where two
        neighbours both reach the share of a breath that needs recovery, the seconds between them
        are compared with the table: half a second, a second for oboes and low brass.

    Limits
        Two players on one line can take turns. Advice on breath defers to the players.

    Sources
        cox: oboists need a longer gap. The seconds: common practice.
    """
    for wind in winded(analysis):
        found = list(_short(analysis, wind, limits["near"]))
        if len(found) >= limits["least_places"]:
            least = min(gap for _, gap in found)
            yield Finding(
                "breath-recovery-short",
                tuple(spot for spot, _ in found),
                (
                    Evidence("shortest gap", round(max(least, 0.0), 2), "s", _needed(wind)),
                    *tempo_used(analysis),
                ),
                (("instrument", wind.line.name),),
                by_tempo(analysis, Claim.QUESTION),
            )


def _needed(wind: WindLine) -> float:
    return cited("winds", "recovery", "long" if wind.line.instrument in LONG else "usual").number


def _short(analysis: Analysis, wind: WindLine, near: float) -> Iterator[tuple[Spot, float]]:
    runs = list(bound_runs(wind, bound_notes(analysis.score, wind.part)))
    for before, here in pairwise(runs):
        gap = here[0].start_s - before[-1].stop_s
        both = all(
            (limit := breath_seconds(wind.line.instrument, run[0].level)) is not None
            and run[-1].stop_s - run[0].start_s >= near * limit
            for run in (before, here)
        )
        if both and gap < _needed(wind):
            yield spot_of_tones(analysis.score, analysis.playing, here), gap
