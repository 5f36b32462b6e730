"""The check `stop-chain-too-quick`."""

from collections.abc import Iterator
from itertools import pairwise
from typing import NamedTuple

from redstave.analysis import Analysis
from redstave.analysis.doubles import place_spot
from redstave.analysis.fingers import travel_mm
from redstave.analysis.held import Stop, Stops
from redstave.analysis.page import note_names
from redstave.analysis.players_level import for_level
from redstave.analysis.tables import cited
from redstave.checks.needs import bowed, by_tempo, tempo_used
from redstave.checks.registry import Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding, Spot


class Step(NamedTuple):
    """From one chord to the next: seconds there are, seconds needed, and the way of the hand."""

    before: Stop
    after: Stop
    seconds: float
    needed: float
    travel: float


@check(
    "stop-chain-too-quick",
    Claim.RISK,
    sources=("common-practice",),
    settings=(
        Setting(
            "least_steps",
            2.0,
            "steps",
            "reported when so many changes of chord in a row come too quickly",
            "common-practice",
        ),
        Setting(
            "shift_seconds",
            0.12,
            "s",
            "each decimetre the hand travels along the neck takes so long",
            "common-practice",
        ),
    ),
)
def stop_chain_too_quick(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Find chains of stops in which the hand has no time to change.

    What it reports
        Double, triple or quadruple stops that follow each other, each with other fingers, faster
        than a hand can set them.

    Why it matters
        Each chord has its own shape, and all its fingers must be in tune at once. In a chain that
        is too quick a section plays the first chord and an approximation of the others.

    How it is computed
        Every chord is laid on the strings in the easiest way. The change to another chord takes a
        time for setting the fingers, longer for three and four notes, and a time for the way the
        hand travels: the distance by which the fingers of both chords together span more than the
        hand does. This, less its uncertainty, is held against the time from attack to attack, by
        the tempo in use. Repeats of a chord cost nothing, nor do changes to open strings.

    Limits
        Only chords that one player is to hold are judged; a series of two notes in a section
        without a word is asked about by division-not-marked. The easiest way of each chord need not
        be the best of the whole chain. Where the page gives no number for every tempo, the finding
        is a question.

    Sources
        Common practice, no source. With the masters triple stops change every 0.27 s at the least.
    """
    bowed(analysis)
    chains = [(run, chain) for run in analysis.stops for chain in _chains(analysis, run, limits)]
    if chains:
        yield _finding(analysis, chains)


def _finding(analysis: Analysis, chains: list[tuple[Stops, list[Step]]]) -> Finding:
    steps = [step for _, chain in chains for step in chain]
    worst = max(steps, key=lambda step: step.needed / step.seconds)
    notes = [
        note_names(note for chord in stop.place.chords for note in chord.notes)
        for stop in (worst.before, worst.after)
    ]
    return Finding(
        "stop-chain-too-quick",
        tuple(_spot(run, chain) for run, chain in chains),
        (
            Evidence("time for the change", round(worst.seconds, 2), "s", round(worst.needed, 2)),
            Evidence("way of the hand", round(worst.travel), "mm"),
            Evidence("changes", len(steps), "changes"),
            *tempo_used(analysis),
        ),
        (("from", notes[0]), ("to", notes[1])),
        by_tempo(analysis, Claim.RISK),
    )


def _spot(run: Stops, chain: list[Step]) -> Spot:
    places = (chain[0].before.place, *(step.after.place for step in chain))
    return place_spot(run.part, places)


def _chains(analysis: Analysis, run: Stops, limits: Limits) -> Iterator[list[Step]]:
    chain: list[Step] = []
    for before, after in pairwise(run.stops):
        step = _step(analysis, run, before, after, limits["shift_seconds"])
        if step is not None and step.seconds < step.needed:
            chain.append(step)
            continue
        if len(chain) >= limits["least_steps"]:
            yield chain
        chain = []
    if len(chain) >= limits["least_steps"]:
        yield chain


def _step(
    analysis: Analysis, run: Stops, before: Stop, after: Stop, shift_seconds: float
) -> Step | None:
    """Return the step between two chords; None where no finger has to move."""
    stopped = [height for height in after.grip.heights if height > 0]
    if before.pitches == after.pitches or not stopped:
        return None
    tempo = analysis.playing.tempo
    leaf = cited("strings", "chain", "double" if len(after.pitches) == 2 else "full")
    least = for_level(leaf, analysis.players_level) - leaf.uncertainties[0]
    travel = travel_mm(before.grip, after.grip, run.hand)
    return Step(
        before,
        after,
        tempo.seconds(after.place.tick) - tempo.seconds(before.place.tick),
        least + travel / 100 * shift_seconds,
        travel,
    )
