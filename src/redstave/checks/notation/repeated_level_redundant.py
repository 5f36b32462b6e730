"""The check `repeated-level-redundant`."""

from collections.abc import Iterator
from itertools import pairwise

from redstave.analysis import Analysis
from redstave.analysis.dynamics import Event, Kind, events, swells
from redstave.analysis.entries import entries
from redstave.analysis.page import chords
from redstave.checks.registry import Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding, Spot
from redstave.model.score import Part


@check(
    "repeated-level-redundant",
    Claim.QUESTION,
    sources=("common-practice",),
    settings=(
        Setting(
            "most_bars",
            4.0,
            "bars",
            "a reminder after more bars than this is no fault",
            "common-practice",
        ),
        Setting(
            "least_places",
            3.0,
            "places",
            "a part in which it happens less often is left alone",
            "common-practice",
        ),
    ),
    on=False,
)
def repeated_level_redundant(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Ask about levels that are printed again although nothing has changed.

    What it reports
        Parts that repeat the same level again and again, with neither rest nor swell between.

    Why it matters
        A level is a sign that something happens. Printed where nothing does, it makes the player
        look for what he has missed, and weakens the signs that matter.

    How it is computed
        Two level marks of a part in a row, equal, on one stave, no more than most_bars apart, with
        no rest, hairpin or word about loudness between. A part is told once, with its places.

    Limits
        Reminders at a page turn look alike. Off unless turned on.

    Sources
        Common practice, no source.
    """
    for part in analysis.score.parts:
        found = list(_repeats(analysis, part, limits))
        if len(found) >= limits["least_places"]:
            yield Finding(
                "repeated-level-redundant",
                tuple(found),
                (Evidence("levels repeated without need", len(found), "marks"),),
            )


def _repeats(analysis: Analysis, part: Part, limits: Limits) -> Iterator[Spot]:
    score = analysis.score
    rests = [entry.chord.start for entry in entries(chords(score, part))]
    hairpins = [swell.start for swell in swells(score, part)]
    for before, here in pairwise(events(score, part)):
        if not _same(before, here):
            continue
        bar, first = score.bar_at(here.tick), score.bar_at(before.tick)
        near = 0 < bar - first <= limits["most_bars"]
        quiet = not any(before.tick < tick <= here.tick for tick in (*rests, *hairpins))
        if near and quiet:
            yield Spot(bar, here.tick - score.bars[bar].start, part.id, 1, bar)


def _same(before: Event, here: Event) -> bool:
    level = Kind.LEVEL
    return before.kind is here.kind is level and before.level == here.level
