"""The check `timpani-retune-time`."""

from collections.abc import Iterator
from typing import NamedTuple

from redstave.analysis import Analysis
from redstave.analysis.drums import Stroke, assign
from redstave.analysis.page import note_names
from redstave.analysis.stretches import spot_of_tones
from redstave.analysis.tables import cited
from redstave.checks.needs import by_tempo, tempo_used
from redstave.checks.registry import CannotJudge, Limits, check
from redstave.model.finding import Claim, Evidence, Finding
from redstave.model.line import Tone

RETUNE = cited("timpani", "time", "retune")


class Late(NamedTuple):
    """A stroke whose drum cannot be tuned in time, and the seconds there are."""

    tone: Tone
    seconds: float


@check("timpani-retune-time", Claim.RISK, sources=("papa", "inmus", "common-practice"))
def timpani_retune_time(analysis: Analysis, _: Limits) -> Iterator[Finding]:
    """Find timpani notes for which no drum can be ready.

    What it reports
        Notes for which every drum that has the pitch would have to be retuned in less time than
        that takes.

    Why it matters
        The drum is heard gliding into its note, or the note is wrong. More than four pitches in
        quick succession have no drum left.

    How it is computed
        Each pitch is given to one of four drums that has it: the one already tuned to it if there
        is one, else the one that has been free longest and is needed again latest. Where less time
        than the table's has passed since that drum was last struck, the note is reported.

    Limits
        A fifth drum or a second player is not known to the page. Tremolo counts as one stroke.

    Sources
        papa and inmus: sets and compass. The time to retune: common practice.
    """
    lines = analysis.playing.lines
    drums = [at for at, line in enumerate(lines) if line.instrument == "timpani"]
    if not drums:
        raise CannotJudge("no part was recognised as timpani")
    for at in drums:
        if late := list(_late(analysis, at)):
            yield _finding(analysis, late)


def _late(analysis: Analysis, line: int) -> Iterator[Late]:
    """Yield the strokes of a line (index) for which no drum can be ready."""
    tones = [tone for tone in analysis.playing.tones if tone.line == line and not tone.unpitched]
    strokes = [Stroke(tone.start_s, tone.stop_s, tone.midi) for tone in tones]
    least = RETUNE.number - RETUNE.uncertainties[0]
    for tone, gap in zip(tones, assign(strokes), strict=True):
        if gap is not None and gap < least:
            yield Late(tone, gap)


def _finding(analysis: Analysis, late: list[Late]) -> Finding:
    shortest = min(one.seconds for one in late)
    notes = [analysis.score.notes_by_id[one.tone.notes[0]] for one in late]
    return Finding(
        "timpani-retune-time",
        tuple(spot_of_tones(analysis.score, analysis.playing, [one.tone]) for one in late),
        (
            Evidence("shortest time to retune", round(shortest, 1), "s", RETUNE.number),
            *tempo_used(analysis),
        ),
        (("notes", note_names(notes)),),
        by_tempo(analysis, Claim.RISK),
    )
