"""The check `pluck-too-fast`."""

from collections.abc import Iterator
from typing import NamedTuple

from redstave.analysis import Analysis
from redstave.analysis.bowed import Bowed
from redstave.analysis.modes import forgotten_arco
from redstave.analysis.page import Chord, spot
from redstave.analysis.players_level import for_level
from redstave.analysis.rates import quick_runs, rate
from redstave.analysis.tables import cited
from redstave.checks.needs import bowed, by_tempo, tempo_used
from redstave.checks.registry import Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding, Spot


class Run(NamedTuple):
    """Plucked notes in quick succession: notes a second, the limit, and how long it lasts."""

    rate: float
    limit: float
    seconds: float
    spot: Spot


@check(
    "pluck-too-fast",
    Claim.RISK,
    sources=("rk", "common-practice"),
    settings=(
        Setting(
            "least_notes",
            6.0,
            "notes",
            "shorter runs are left alone: a few quick notes can be plucked with two fingers",
            "common-practice",
        ),
        Setting(
            "long_seconds",
            8.0,
            "s",
            "a run this long tires the finger",
            "common-practice",
        ),
        Setting(
            "long_share",
            0.8,
            "share",
            "and is reported from this part of the limit on",
            "common-practice",
        ),
    ),
)
def pluck_too_fast(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Find plucked runs that are too fast for the finger.

    What it reports
        Runs of pizzicato notes faster than one finger can pluck them on that instrument, and long
        runs near that speed.

    Why it matters
        Plucking is never as fast as bowing: the finger must travel back to the string each time,
        and the thicker the string, the longer it takes. What the players cannot pluck they leave
        out, each a different note.

    How it is computed
        The plucked notes of each voice are set in seconds by the tempo in use. A run is reported
        when every note follows the one before faster than the limit for the instrument and the
        players allows, the uncertainty of the limit added; or when it lasts long and stays near the
        limit.

    Limits
        Voices of a divided stave are judged one by one; notes that alternate between two staves
        therefore pass. Chords count as one stroke. Where an arco seems to be forgotten, see
        mode-never-cancelled, nothing is reported. Where the page gives no number for every tempo,
        the finding is a question.

    Sources
        rk: pizzicato is slower than the bow and slows with the thickness of the string, the double
        bass last. Notes a second: common practice, no source.
    """
    found = [run for part in bowed(analysis) for run in _runs(analysis, part, limits)]
    if found:
        yield Finding(
            "pluck-too-fast",
            tuple(run.spot for run in found),
            (*_evidence(found), *tempo_used(analysis)),
            claim=by_tempo(analysis, Claim.RISK),
        )


def _evidence(found: list[Run]) -> tuple[Evidence, ...]:
    worst = max(found, key=lambda run: run.rate / run.limit)
    return (
        Evidence("plucked notes a second", round(worst.rate, 1), "", worst.limit),
        Evidence("longest run", round(max(run.seconds for run in found), 1), "s"),
    )


def _runs(analysis: Analysis, part: Bowed, limits: Limits) -> Iterator[Run]:
    leaf = cited("strings", "pluck-rate", part.instrument)
    limit = for_level(leaf, analysis.players_level)
    doubt = leaf.uncertainties[0]
    forgotten = tuple(forgotten_arco(part, analysis.tone_of))
    for chords in part.voices.values():
        plucked = [chord for chord in chords if _is_plucked(analysis, chord)]
        plucked = [
            chord
            for chord in plucked
            if not any(one.start <= chord.start < one.stop for one in forgotten)
        ]
        starts = [analysis.playing.tempo.seconds(chord.start) for chord in plucked]
        for run in _too_quick(starts, limit + doubt, limits):
            seconds = starts[run][-1] - starts[run][0]
            yield Run(rate(starts[run]), limit, seconds, spot(part.part, plucked[run]))


def _too_quick(starts: list[float], limit: float, limits: Limits) -> Iterator[slice]:
    quick = [run for run in quick_runs(starts, limit) if _notes(run) >= limits["least_notes"]]
    yield from quick
    for run in quick_runs(starts, limits["long_share"] * limit):
        lasts = starts[run][-1] - starts[run][0] > limits["long_seconds"]
        if lasts and not any(run.start <= one.start < run.stop for one in quick):
            yield run


def _notes(run: slice) -> int:
    return int(run.stop) - int(run.start)


def _is_plucked(analysis: Analysis, chord: Chord) -> bool:
    tone = analysis.tone_of.get(chord.head.id)
    return not chord.head.tie_stop and tone is not None and tone.technique == "pizz"
