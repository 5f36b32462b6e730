"""The check `low-string-extension-needed`."""

from collections.abc import Iterator

from redstave.analysis import Analysis
from redstave.analysis.page import note_names
from redstave.analysis.stretches import spot_of_tones, stretches
from redstave.checks.registry import CannotJudge, Limits, check
from redstave.model.finding import Claim, Evidence, Finding

LOWEST_STRING = 28.0  # sounding E1: the lowest open string of a bass with four strings
FIFTH_STRING = "double-bass"


@check("low-string-extension-needed", Claim.QUESTION, sources=("common-practice",))
def low_string_extension_needed(analysis: Analysis, _: Limits) -> Iterator[Finding]:
    """Ask for which basses the lowest notes are written.

    What it reports
        Double-bass notes below written E2, the lowest open string of a bass with four strings.

    Why it matters
        Only some basses have a fifth string or an extension. The others play such notes an octave
        higher, each where he likes, and the line breaks.

    How it is computed
        Every tone of a double-bass line that sounds below E1.

    Limits
        Whether the orchestra has such basses nobody can see from the page. A part that is retuned
        in words, or that names five strings, is asked about all the same.

    Sources
        Tuning of the double bass: common practice, no source.
    """
    lines = analysis.playing.lines
    if not any(line.instrument == FIFTH_STRING for line in lines):
        raise CannotJudge("no part was recognised as a double bass")
    basses = (one for one in analysis.playing.tones if lines[one.line].instrument == FIFTH_STRING)
    low = [tone for tone in basses if tone.midi < LOWEST_STRING and tone.technique != "harmonic"]
    if not low:
        return
    score, bar = analysis.score, 4 * analysis.score.ticks_per_quarter
    spots = [spot_of_tones(score, analysis.playing, one.tones) for one in stretches(low, bar)]
    names = note_names(score.notes_by_id[tone.notes[0]] for tone in low)
    yield Finding(
        "low-string-extension-needed",
        tuple(sorted(spots)),
        (Evidence("notes below the lowest string", len(low), "notes"),),
        (("notes", names),),
    )
