"""The check `brass-mute-time`."""

from collections.abc import Iterator
from itertools import pairwise

from redstave.analysis import Analysis
from redstave.analysis.stretches import spot_of_tones
from redstave.analysis.tables import cited
from redstave.analysis.winded import WindLine
from redstave.checks.needs import by_tempo, tempo_used, winded
from redstave.checks.registry import CannotJudge, Limits, check
from redstave.model.finding import Claim, Evidence, Finding
from redstave.model.line import Tone


@check("brass-mute-time", Claim.RISK, sources=("clayville", "common-practice"))
def brass_mute_time(analysis: Analysis, _: Limits) -> Iterator[Finding]:
    """Find brass mutes with no time to put them in or take them out.

    What it reports
        A muted brass tone that follows an open one, or the reverse, with less rest between than a
        mute needs.

    Why it matters
        The mute stands on the floor. Without time to reach for it the player drops notes, or drops
        the mute, which the whole hall hears.

    How it is computed
        For each brass player the rest between the last open and the first muted tone is counted in
        seconds, and the same on the way back, and held against the table less its uncertainty.

    Limits
        A horn can be stopped by hand at once and then counts as muted only where the page asks for
        a mute. Half a section may take over while the other half changes.

    Sources
        clayville: the time allowed is usually too short. The seconds are common practice.
    """
    brass = [wind for wind in winded(analysis) if wind.line.family == "brass"]
    if not brass:
        raise CannotJudge("no part was recognised as a brass instrument")
    for wind in brass:
        for before, here in pairwise(wind.tones):
            muted = here.technique == "mute"
            if muted != (before.technique == "mute"):
                limit = cited("winds", "mute", "on" if muted else "off")
                rest = here.start_s - before.stop_s
                if rest < limit.number - limit.uncertainties[0]:
                    yield _finding(analysis, wind, here, rest, limit.number)


def _finding(analysis: Analysis, wind: WindLine, tone: Tone, rest: float, limit: float) -> Finding:
    way = "to put the mute in" if tone.technique == "mute" else "to take the mute out"
    return Finding(
        "brass-mute-time",
        (spot_of_tones(analysis.score, analysis.playing, [tone]),),
        (
            Evidence("rest before the note", round(max(rest, 0.0), 1), "s", limit),
            *tempo_used(analysis),
        ),
        (("instrument", wind.line.name), ("way", way)),
        by_tempo(analysis, Claim.RISK),
    )
