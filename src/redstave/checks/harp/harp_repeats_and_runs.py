"""The check `harp-repeats-and-runs`."""

from collections import defaultdict
from collections.abc import Iterator

from redstave.analysis import Analysis
from redstave.analysis.page import note_names, spot
from redstave.analysis.rates import quick_runs, rate
from redstave.analysis.struck import Struck, struck
from redstave.analysis.tables import cited
from redstave.checks.needs import by_tempo, harps, tempo_used
from redstave.checks.registry import Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding
from redstave.model.score import Part


@check(
    "harp-repeats-and-runs",
    Claim.RISK,
    sources=("philharp", "common-practice"),
    settings=(
        Setting(
            "least_notes", 4.0, "notes", "shorter repetitions are left alone", "common-practice"
        ),
    ),
)
def harp_repeats_and_runs(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Find quick repeated notes on one harp string.

    What it reports
        One string plucked again and again faster than it can come to rest under the finger.

    Why it matters
        Each touch damps the tone before. Quick repetition on one string gives a dull tap where a
        ringing note was meant.

    How it is computed
        The times at which each pitch is struck, without another one on its string between, are
        held against the table, its uncertainty added.

    Limits
        Two spellings of one pitch lie on two strings and may alternate: that is the usual way out,
        and is not reported. Where the tempo is assumed the finding is a question.

    Sources
        philharp: repeated notes and chords are poor on the harp. The speed is common practice.
    """
    leaf = cited("harp", "repeat")
    limit = leaf.number + leaf.uncertainties[0]
    for part in harps(analysis):
        by_string: dict[tuple[str, float, int], list[Struck]] = defaultdict(list)
        for one in struck(analysis.score, part):
            for note in one.notes:
                by_string[note.step, note.alter, note.octave].append(one)
        runs = [
            times[run]
            for times in by_string.values()
            for run in quick_runs([_second(analysis, one) for one in times], limit)
            if run.stop - run.start >= limits["least_notes"]
        ]
        if runs:
            yield _finding(analysis, part, runs)


def _second(analysis: Analysis, one: Struck) -> float:
    return analysis.playing.tempo.seconds(one.tick)


def _finding(analysis: Analysis, part: Part, runs: list[list[Struck]]) -> Finding:
    fastest = max(rate([_second(analysis, one) for one in run]) for run in runs)
    return Finding(
        "harp-repeats-and-runs",
        tuple(sorted(spot(part, [c for one in run for c in one.chords]) for run in runs)),
        (
            Evidence("strokes a second", round(fastest, 1), "", cited("harp", "repeat").number),
            *tempo_used(analysis),
        ),
        (("notes", note_names(runs[0][0].notes)),),
        by_tempo(analysis, Claim.RISK),
    )
