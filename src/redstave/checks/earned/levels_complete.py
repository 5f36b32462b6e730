"""The credit `levels-complete`."""

from bisect import bisect_left, bisect_right
from collections.abc import Iterator

from redstave.analysis import Analysis
from redstave.analysis.dynamics import events
from redstave.analysis.entries import entries
from redstave.analysis.page import chords
from redstave.analysis.spots import bars_spot
from redstave.checks.needs import too_few
from redstave.checks.registry import Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding
from redstave.model.score import Part


@check(
    "levels-complete",
    Claim.CREDIT,
    sources=("bennew", "common-practice"),
    settings=(
        Setting(
            "least_share", 0.97, "share of entries", "so many must carry a level", "common-practice"
        ),
        Setting("least_entries", 12.0, "entries", "with fewer nothing is shown", "common-practice"),
    ),
)
def levels_complete(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Praise a page that tells every player how loud to enter.

    What it reports
        Nearly all entries after rests, in all parts, carry a level.

    Why it matters
        It is the work nobody sees: each player finds his level where he needs it, and the
        rehearsal can begin with the music.

    How it is computed
        All entries after a rest of at least a bar are counted, and those with a mark or word about
        loudness between the rest and a beat after the entry.

    Limits
        Whether the levels are the right ones is another question.

    Sources
        bennew: a level on every stave at each entry. The share: common practice.
    """
    told = [with_level for part in analysis.score.parts for with_level in _told(analysis, part)]
    if len(told) < limits["least_entries"]:
        raise too_few(len(told), "entry after a rest", "entries after rests")
    share = sum(told) / len(told)
    if share >= limits["least_share"]:
        yield Finding(
            "levels-complete",
            (bars_spot(analysis, 0, len(analysis.score.bars) - 1),),
            (
                Evidence("entries after rests", len(told), "entries"),
                Evidence(
                    "of them with a level",
                    round(share, 2),
                    "share of entries",
                    limits["least_share"],
                ),
            ),
        )


def _told(analysis: Analysis, part: Part) -> Iterator[bool]:
    ticks = [event.tick for event in events(analysis.score, part)]
    beat = analysis.score.ticks_per_quarter
    for entry in entries(chords(analysis.score, part)):
        bar = analysis.score.bars[entry.chord.head.bar]
        if entry.first or entry.rest >= bar.length:
            start = entry.chord.start
            yield bisect_right(ticks, start + beat) > bisect_left(ticks, start - entry.rest)
