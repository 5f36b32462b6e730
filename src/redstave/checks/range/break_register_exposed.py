"""The check `break-register-exposed`."""

from collections.abc import Iterator

import numpy as np

from redstave.analysis import Analysis
from redstave.analysis.page import note_names
from redstave.analysis.registers import zones
from redstave.analysis.stretches import Stretch, spot_of_tones, stretches
from redstave.checks.registry import CannotJudge, Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding
from redstave.model.line import Tone


@check(
    "break-register-exposed",
    Claim.QUESTION,
    sources=("handbooks", "common-practice"),
    settings=(
        Setting(
            "least_seconds",
            3.0,
            "s",
            "the throat notes of a passage must last this long together",
            "common-practice",
        ),
    ),
)
def break_register_exposed(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Ask about tunes that lie in the pale throat of the clarinet.

    What it reports
        Passages in which a clarinet leads by itself and dwells on its throat notes.

    Why it matters
        Between its two registers the clarinet is pale and a little flat. A tune that stays there
        has the instrument's least colour.

    How it is computed
        Clarinet tones in the throat zone of the data, while the clarinet is the leading line and
        nobody doubles it, are gathered; passages of least_seconds are reported.

    Limits
        Players have fingerings that help. The rule for the leading line errs in about three
        moments of ten.

    Sources
        handbooks: the character of the registers, from memory.
    """
    pale = _pale(analysis)
    for one in stretches(pale, analysis.score.ticks_per_quarter) if pale else ():
        if one.seconds >= limits["least_seconds"]:
            yield _finding(analysis, one, limits["least_seconds"])


def _pale(analysis: Analysis) -> list[Tone]:
    """Return the throat notes of leading clarinets that nobody doubles."""
    lines, notes = analysis.playing.lines, analysis.score.notes_by_id
    clarinets = {at for at, line in enumerate(lines) if line.instrument == "clarinet"}
    if not clarinets:
        raise CannotJudge("no part was recognised as a clarinet")
    (throat,) = zones("loud", "clarinet")
    return [
        tone
        for at, tone in enumerate(analysis.playing.tones)
        if tone.line in clarinets
        and throat.low <= notes[tone.notes[0]].written_midi <= throat.high
        and not analysis.shared.get(at)
        and _leads(analysis, tone)
    ]


def _finding(analysis: Analysis, one: Stretch, least: float) -> Finding:
    notes = analysis.score.notes_by_id
    return Finding(
        "break-register-exposed",
        (spot_of_tones(analysis.score, analysis.playing, one.tones),),
        (Evidence("time on throat notes", round(one.seconds, 1), "s", least),),
        (
            ("instrument", analysis.playing.lines[one.line].name),
            ("notes", note_names(notes[tone.notes[0]] for tone in one.tones)),
        ),
    )


def _leads(analysis: Analysis, tone: Tone) -> bool:
    """Tell whether the tone's line is the leading one when the tone begins."""
    at = int(np.searchsorted(analysis.slices.start, tone.start))
    return at < analysis.tune.line.size and int(analysis.tune.line[at]) == tone.line
