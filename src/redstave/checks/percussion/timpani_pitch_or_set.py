"""The check `timpani-pitch-or-set`."""

from collections.abc import Iterator

from redstave.analysis import Analysis
from redstave.analysis.drums import compasses
from redstave.analysis.page import note_names
from redstave.analysis.stretches import spot_of_tones
from redstave.checks.registry import CannotJudge, Limits, check
from redstave.model.finding import Claim, Evidence, Finding

SMALL_DRUM = 60.0  # C4: the top of a small fifth drum, which some orchestras have


@check("timpani-pitch-or-set", Claim.RISK, sources=("papa", "inmus"))
def timpani_pitch_or_set(analysis: Analysis, _: Limits) -> Iterator[Finding]:
    """Find timpani notes that a usual set of four drums does not have.

    What it reports
        Notes below the largest or above the smallest drum of a set of four.

    Why it matters
        Four drums reach from D2 to A3. What lies outside needs a special drum that must be hired,
        or is played in another octave.

    How it is computed
        The sounding pitch of each note is held against the compass of the set in the data.

    Limits
        A fifth small drum reaches C4, and a few lie lower: named drums on the page are not read.

    Sources
        inmus: the set reaches D2 to A3. papa: a small drum to C4; B3, D4 and F sharp 4 as rarities.
    """
    lines = analysis.playing.lines
    if not any(line.instrument == "timpani" for line in lines):
        raise CannotJudge("no part was recognised as timpani")
    low, high = compasses()[0][0], compasses()[-1][1]
    outside = [
        tone
        for tone in analysis.playing.tones
        if lines[tone.line].instrument == "timpani"
        and not tone.unpitched
        and not low <= tone.midi <= high
    ]
    if outside:
        notes = [analysis.score.notes_by_id[tone.notes[0]] for tone in outside]
        beyond_all = any(tone.midi > SMALL_DRUM for tone in outside)
        yield Finding(
            "timpani-pitch-or-set",
            tuple(spot_of_tones(analysis.score, analysis.playing, [tone]) for tone in outside),
            (Evidence("notes outside the set", len(outside), "notes", 0),),
            (("notes", note_names(notes)),),
            Claim.RISK if beyond_all else Claim.QUESTION,
        )
