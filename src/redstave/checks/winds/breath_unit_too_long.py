"""The check `breath-unit-too-long`."""

from collections import defaultdict
from collections.abc import Iterator
from typing import NamedTuple

from redstave.analysis import Analysis
from redstave.analysis.page import in_words
from redstave.analysis.stretches import spot_of_tones
from redstave.analysis.winded import WindLine, bound_notes, bound_runs, breath_seconds
from redstave.checks.needs import by_tempo, tempo_used, winded
from redstave.checks.registry import Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding, Spot


@check(
    "breath-unit-too-long",
    Claim.RISK,
    sources=("unsw", "cossette", "common-practice"),
    settings=(
        Setting(
            "margin",
            1.25,
            "times",
            "a slur is reported when it lasts this many times the comfortable breath",
            "common-practice",
        ),
    ),
)
def breath_unit_too_long(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Find slurs that outlast a wind player's breath.

    What it reports
        Slurs, and chains of tied notes, that last clearly longer than one comfortable breath of the
        instrument at that level.

    Why it matters
        A slur tells a wind player that there is no place to breathe. He will breathe all the same,
        where he must and not where the music would let him. Phrase arcs copied from a piano are the
        usual cause.

    How it is computed
        The tones of one player are followed as long as a slur binds each to the next. The seconds
        from the first to the last are held against the breath table, interpolated between p, mf and
        f by the mean level in force. Advice on breath defers to the player and to local practice.

    Limits
        Circular breathing and staggered breathing by two players on one line are not known to the
        page. Where the tempo is assumed the finding is a question.

    Sources
        unsw and cossette for the flow of air and the usable part of the lungs; the seconds are
        common practice.
    """
    by_bar: dict[int, list[Breath]] = defaultdict(list)
    for wind in winded(analysis):
        for breath in _too_long(analysis, wind, limits["margin"]):
            by_bar[breath.spot.bar].append(breath)
    for _, breaths in sorted(by_bar.items()):
        yield _finding(analysis, breaths)


class Breath(NamedTuple):
    """A slur that outlasts a breath: whose, where, how long, and how long a breath lasts."""

    name: str
    spot: Spot
    seconds: float
    limit: float


def _finding(analysis: Analysis, breaths: list[Breath]) -> Finding:
    worst = max(breaths, key=lambda one: one.seconds / one.limit)
    return Finding(
        "breath-unit-too-long",
        tuple(breath.spot for breath in breaths),
        (
            Evidence("longest slur", round(worst.seconds, 1), "s", round(worst.limit, 1)),
            *tempo_used(analysis),
        ),
        (("instrument", in_words(dict.fromkeys(breath.name for breath in breaths))),),
        by_tempo(analysis, Claim.RISK),
    )


def _too_long(analysis: Analysis, wind: WindLine, margin: float) -> Iterator[Breath]:
    bound = bound_notes(analysis.score, wind.part)
    for run in bound_runs(wind, bound):
        seconds = run[-1].stop_s - run[0].start_s
        level = sum(tone.level * (tone.stop_s - tone.start_s) for tone in run) / max(seconds, 1e-6)
        limit = breath_seconds(wind.line.instrument, level)
        if limit is not None and seconds > margin * limit:
            spot = spot_of_tones(analysis.score, analysis.playing, run)
            yield Breath(wind.line.name, spot, seconds, limit)
