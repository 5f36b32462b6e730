"""The check `harp-low-blur`."""

from collections.abc import Iterator
from itertools import pairwise

from redstave.analysis import Analysis
from redstave.analysis.page import spot
from redstave.analysis.struck import Struck, struck
from redstave.checks.needs import by_tempo, harps, tempo_used
from redstave.checks.registry import Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding
from redstave.model.score import Part

TOP = 47.0  # B2: below C3 strings ring for seconds


@check(
    "harp-low-blur",
    Claim.QUESTION,
    sources=("rk", "common-practice"),
    settings=(
        Setting("most_seconds", 0.3, "s", "low notes that follow faster blur", "common-practice"),
        Setting("least_notes", 6.0, "notes", "shorter figures are left alone", "common-practice"),
    ),
)
def harp_low_blur(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Ask about quick figures on the low harp strings.

    What it reports
        Runs of different notes below C3 that follow each other quickly, without a sign to damp.

    Why it matters
        The long strings ring on for seconds. Quick notes there pile up into a murmur.

    How it is computed
        Neighbouring strokes whose notes all lie below C3 and change pitch, closer than
        most_seconds, for least_notes or more.

    Limits
        A murmur can be the idea. Signs to damp (étouffé) on the page exempt the whole part.

    Sources
        rk: quick figures are clear in the upper register only. The numbers: common practice.
    """
    for part in harps(analysis):
        if any(
            "touff" in mark.text.lower() or "damp" in mark.text.lower()
            for mark in part.marks_of("word")
        ):
            continue
        runs = [run for run in _runs(analysis, part, limits) if len(run) >= limits["least_notes"]]
        if runs:
            yield Finding(
                "harp-low-blur",
                tuple(spot(part, [c for one in run for c in one.chords]) for run in runs),
                (
                    Evidence("longest low run", max(map(len, runs)), "notes"),
                    *tempo_used(analysis),
                ),
                (),
                by_tempo(analysis, Claim.QUESTION),
            )


def _runs(analysis: Analysis, part: Part, limits: Limits) -> Iterator[list[Struck]]:
    low = [
        one
        for one in struck(analysis.score, part)
        if max(note.written_midi for note in one.notes) <= TOP
    ]
    run: list[Struck] = low[:1]
    seconds = analysis.playing.tempo.seconds
    for before, here in pairwise(low):
        changes = before.notes[0].written_midi != here.notes[0].written_midi
        if changes and seconds(here.tick) - seconds(before.tick) <= limits["most_seconds"]:
            run.append(here)
        else:
            yield run
            run = [here]
    if run:
        yield run
