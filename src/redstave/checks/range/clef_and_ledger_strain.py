"""The check `clef-and-ledger-strain`."""

from collections.abc import Iterator
from itertools import groupby

from redstave.analysis import Analysis
from redstave.analysis.page import Chord, chords, spot
from redstave.analysis.staves import clefs, ledger_lines
from redstave.checks.registry import Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding
from redstave.model.score import Part

NO_OTHER_CLEF = frozenset({"flute", "piccolo", "violin", "tuba", "contrabassoon", "double-bass"})


@check(
    "clef-and-ledger-strain",
    Claim.QUESTION,
    sources=("common-practice",),
    settings=(
        Setting(
            "most_lines",
            3.0,
            "lines",
            "notes with more ledger lines are hard to read",
            "common-practice",
        ),
        Setting("least_bars", 2.0, "bars", "shorter passages are left alone", "common-practice"),
    ),
)
def clef_and_ledger_strain(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Ask about passages that stand far outside the stave for long.

    What it reports
        Passages of several bars whose notes all need many ledger lines, where the instrument knows
        another clef.

    Why it matters
        Players read shapes on the stave. What stands on five ledger lines is counted, not read, and
        is the first place where a wrong note comes in.

    How it is computed
        The ledger lines of each note follow from its place and the clef in force; an octave line
        counts as drawn. A passage is an unbroken run of notes that all need more than most_lines,
        over at least least_bars bars.

    Limits
        Instruments that have no other usual clef (flute, violin, tuba, contrabassoon, double bass)
        are left alone: they are used to it.

    Sources
        Common practice, no source.
    """
    for part in analysis.score.parts:
        instruments = {line.instrument for line in analysis.playing.lines if line.part == part.id}
        if instruments & NO_OTHER_CLEF or not instruments - {""}:
            continue
        spots = []
        worst = 0
        for run, lines in _runs(analysis, part, limits["most_lines"]):
            if run[-1].head.bar - run[0].head.bar + 1 >= limits["least_bars"]:
                spots.append(spot(part, run))
                worst = max(worst, lines)
        if spots:
            yield Finding(
                "clef-and-ledger-strain",
                tuple(spots),
                (Evidence("ledger lines", worst, "lines", limits["most_lines"]),),
            )


def _runs(analysis: Analysis, part: Part, most: float) -> Iterator[tuple[list[Chord], int]]:
    """Yield runs of chords that all need more than `most` ledger lines, and the most they need."""
    given = clefs(part)
    counted = [
        (chord, min(abs(ledger_lines(given, note)) for note in chord.notes))
        for chord in chords(analysis.score, part)
    ]
    for strained, group in groupby(counted, key=lambda one: one[1] > most):
        members = list(group)
        if strained:
            yield [chord for chord, _ in members], max(lines for _, lines in members)
