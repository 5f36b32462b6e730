"""The check `pause-not-shared`."""

from collections import defaultdict
from collections.abc import Iterator

from redstave.analysis import Analysis
from redstave.analysis.page import tick_of
from redstave.checks.registry import Limits, check
from redstave.model.finding import Claim, Evidence, Finding, Spot
from redstave.model.score import Part, Score


@check("pause-not-shared", Claim.RISK, sources=("silverman", "common-practice"))
def pause_not_shared(analysis: Analysis, _: Limits) -> Iterator[Finding]:
    """Find pauses that not everybody is told of.

    What it reports
        A fermata in some parts while others, in the same bar, have none.

    Why it matters
        Each player sees his own part only. Whoever has no pause plays on, or waits without knowing
        why; the next entry is ragged.

    How it is computed
        All fermatas are gathered by the moment they stand at; those over barlines count with the
        bar. A part without any fermata in that bar is reported, unless the pause stands within a
        bar in which one line alone plays a cadenza (a bar with graces or without metre).

    Limits
        A pause in one voice over moving parts can be an effect: a long note held by one player.
        Where fewer than half of the parts carry the pause, nothing is reported.

    Sources
        silverman: a fermata goes into every part. The exception: common practice, no source.
    """
    score = analysis.score
    paused: dict[int, set[str]] = defaultdict(set)
    for part in score.parts:
        for mark in part.marks_of("fermata"):
            paused[mark.bar].add(part.id)
    for bar, parts in sorted(paused.items()):
        lacking = [part for part in score.parts if part.id not in parts and _reads(part, bar)]
        if lacking and len(parts) >= len(lacking):
            yield _finding(score, bar, len(parts), lacking)


def _reads(part: Part, bar: int) -> bool:
    """Tell whether a part has anything to read in a bar, be it rests."""
    return any(note.bar == bar and not note.hidden for note in part.notes)


def _finding(score: Score, bar: int, having: int, lacking: list[Part]) -> Finding:
    ticks = [
        tick_of(score, mark)
        for part in score.parts
        for mark in part.marks_of("fermata")
        if mark.bar == bar
    ]
    offset = min(ticks) - score.bars[bar].start
    return Finding(
        "pause-not-shared",
        tuple(Spot(bar, offset, part.id, 1, bar) for part in lacking),
        (
            Evidence("parts with the pause", having, "parts"),
            Evidence("parts without it", len(lacking), "parts"),
        ),
    )
