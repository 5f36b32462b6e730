"""The check `mute-word-too-late`."""

from collections.abc import Iterator
from itertools import pairwise

from redstave.analysis import Analysis
from redstave.analysis.stretches import spot_of_tones
from redstave.analysis.winded import WindLine
from redstave.checks.needs import winded
from redstave.checks.registry import CannotJudge, Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding, Spot


@check(
    "mute-word-too-late",
    Claim.QUESTION,
    sources=("friedman", "common-practice"),
    settings=(
        Setting(
            "least_bars", 2.0, "bars", "after a shorter rest nothing is asked", "common-practice"
        ),
    ),
    on=False,
)
def mute_word_too_late(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Ask for the mute's word at the beginning of the rest.

    What it reports
        Muted brass entries after a rest of some bars whose word stands only at the entry.

    Why it matters
        A player who reads the word when the note comes has the mute on the floor. Printed at the
        start of the rest it is read in time.

    How it is computed
        For each first muted tone after an open one the rest before it is counted in bars, and the
        place of the word that put the mute in force looked up: it must stand before the entry.

    Limits
        Good parts repeat the word where the copyist finds room. Off unless turned on.

    Sources
        friedman: mark the mute where the rest begins. The number: common practice.
    """
    brass = [wind for wind in winded(analysis) if wind.line.family == "brass"]
    if not brass:
        raise CannotJudge("no part was recognised as a brass instrument")
    for wind in brass:
        spots = tuple(_late(analysis, wind, limits["least_bars"]))
        if spots:
            yield Finding(
                "mute-word-too-late",
                spots,
                (Evidence("mutes announced at the entry", len(spots), "places"),),
                (("instrument", wind.line.name),),
            )


def _late(analysis: Analysis, wind: WindLine, least: float) -> Iterator[Spot]:
    told = [point.tick for point in analysis.playing.techniques[wind.line.id] if point.mute]
    for before, here in pairwise(wind.tones):
        bar = analysis.score.bars[here.bar]
        rests = here.start - before.stop >= least * bar.length
        fresh = here.technique == "mute" != before.technique
        announced = any(before.stop <= tick < here.start for tick in told)
        if fresh and rests and not announced:
            yield spot_of_tones(analysis.score, analysis.playing, [here])
