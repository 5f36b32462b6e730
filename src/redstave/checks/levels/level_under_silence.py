"""The check `level-under-silence`."""

from bisect import bisect_left, bisect_right
from collections.abc import Iterator

from redstave.analysis import Analysis
from redstave.analysis.dynamics import Kind, events, swells
from redstave.analysis.page import chords
from redstave.checks.registry import Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding, Spot
from redstave.model.score import Part


@check(
    "level-under-silence",
    Claim.QUESTION,
    sources=("silverman", "common-practice"),
    settings=(
        Setting(
            "least_quarters",
            2.0,
            "quarter notes",
            "a level this far ahead of the next note stands under silence",
            "common-practice",
        ),
    ),
)
def level_under_silence(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Ask about levels that stand under rests.

    What it reports
        Levels printed where the part is silent and stays so for a while.

    Why it matters
        A level belongs to a note. Under a rest the player reads it, finds nothing to do, and has
        forgotten it when the note comes.

    How it is computed
        For each level mark the notes of the whole part are looked at: none may sound at its moment,
        and the next must be at least least_quarters away.

    Limits
        A level placed early for lack of room looks alike. The goal of a hairpin is left alone.

    Sources
        silverman: no levels under rests. How far is too far: common practice.
    """
    spots = tuple(
        spot
        for part in analysis.score.parts
        for spot in _silent(analysis, part, limits["least_quarters"])
    )
    if spots:
        yield Finding(
            "level-under-silence",
            tuple(sorted(spots)),
            (Evidence("levels under rests", len(spots), "marks"),),
        )


def _silent(analysis: Analysis, part: Part, least: float) -> Iterator[Spot]:
    score = analysis.score
    struck = chords(score, part)
    starts = [chord.start for chord in struck]
    stops = sorted(chord.stop for chord in struck)
    goals = {swell.stop for swell in swells(score, part)}
    for event in events(score, part):
        begun, ended = bisect_right(starts, event.tick), bisect_right(stops, event.tick)
        following = bisect_left(starts, event.tick)
        sounding = begun > ended or following == len(starts)
        if event.kind is not Kind.LEVEL or sounding or event.tick in goals:
            continue
        if starts[following] - event.tick >= least * score.ticks_per_quarter:
            bar = score.bar_at(event.tick)
            yield Spot(bar, event.tick - score.bars[bar].start, part.id, 1, bar)
