"""The check `hand-stopped-low-or-quick`."""

from collections.abc import Iterator
from itertools import pairwise

from redstave.analysis import Analysis
from redstave.analysis.page import note_names
from redstave.analysis.stretches import spot_of_tones
from redstave.analysis.tables import cited
from redstave.analysis.winded import WindLine
from redstave.checks.needs import winded
from redstave.checks.registry import CannotJudge, Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding
from redstave.model.line import Tone

WRITTEN_TO_SOUNDING = -7.0  # horn in F


@check(
    "hand-stopped-low-or-quick",
    Claim.RISK,
    sources=("common-practice",),
    settings=(
        Setting(
            "least_seconds",
            0.35,
            "s",
            "the hand needs this long to go in or out, counted from note to note",
            "common-practice",
        ),
    ),
)
def hand_stopped_low_or_quick(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Find stopped horn notes that are too low, or too quick to set.

    What it reports
        Stopped notes below the register in which the hand can stop the horn, and stopped notes
        that follow an open one faster than the hand moves.

    Why it matters
        A low stopped note has no centre and cannot be tuned; one that comes too quickly is played
        open or half open.

    How it is computed
        The sounding pitch of each stopped tone is held against the lowest note in the table, its
        uncertainty taken off; the time from the start of the note before against least_seconds.

    Limits
        With a stopping mute low notes become possible, and the page seldom says so. Series of +/o
        signs as an effect are reported as well.

    Sources
        Common practice, no source.
    """
    horns = [wind for wind in winded(analysis) if wind.line.instrument == "horn"]
    if not horns:
        raise CannotJudge("no part was recognised as a horn")
    lowest = cited("winds", "stopped", "horn")
    floor = lowest.numbers[0] - lowest.uncertainties[0] + WRITTEN_TO_SOUNDING
    for wind in horns:
        low = [tone for tone in wind.tones if tone.technique == "stopped" and tone.midi < floor]
        quick = [
            here
            for before, here in pairwise(wind.tones)
            if here.technique == "stopped" != before.technique
            and here.start_s - before.start_s < limits["least_seconds"]
        ]
        if low:
            yield _finding(analysis, wind, low, "too low for the hand")
        if quick:
            yield _finding(analysis, wind, quick, "reached too quickly for the hand")


def _finding(analysis: Analysis, wind: WindLine, tones: list[Tone], fault: str) -> Finding:
    notes = [analysis.score.notes_by_id[tone.notes[0]] for tone in tones]
    return Finding(
        "hand-stopped-low-or-quick",
        tuple(spot_of_tones(analysis.score, analysis.playing, [tone]) for tone in tones),
        (Evidence("stopped notes concerned", len(tones), "notes"),),
        (("instrument", wind.line.name), ("notes", note_names(notes)), ("fault", fault)),
    )
