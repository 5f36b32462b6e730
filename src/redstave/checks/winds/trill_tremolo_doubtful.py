"""The check `trill-tremolo-doubtful`."""

from collections.abc import Iterator

from redstave.analysis import Analysis
from redstave.analysis.page import note_names
from redstave.analysis.staffing import staffing
from redstave.analysis.tables import row
from redstave.checks.registry import CannotJudge, Limits, check
from redstave.model.finding import Claim, Evidence, Finding, Spot
from redstave.model.score import Note, Part

TRILLS = frozenset({"trill-mark", "inverted-mordent", "ornamentTrill"})


@check("trill-tremolo-doubtful", Claim.QUESTION, sources=("common-practice",))
def trill_tremolo_doubtful(analysis: Analysis, _: Limits) -> Iterator[Finding]:
    """Ask about trills that are awkward on the instrument.

    What it reports
        Woodwind trills on notes for which the usual instrument has no good fingering.

    Why it matters
        Where one finger cannot do it, the trill is slow, uneven or out of tune; players leave it
        out or fake it.

    How it is computed
        The lower note of each trill is looked up in a table of awkward pairs, for the semitone or
        whole tone that an accidental on the sign asks for; without one either counts.

    Limits
        Special keys and fingerings make some of them possible. The table is short and from memory.

    Sources
        Common practice, no source.
    """
    crew = staffing(analysis.playing)
    awkward = row("winds", "trill")
    parts = [
        part
        for part in analysis.score.parts
        if part.id in crew and crew[part.id].instrument in awkward
    ]
    if not parts:
        raise CannotJudge("no part was recognised as flute, oboe, clarinet or bassoon")
    for part in parts:
        lower = {pair[0] for pair in awkward[crew[part.id].instrument].rows}
        found = [note for note in _trilled(analysis, part) if note.written_midi in lower]
        if found:
            yield Finding(
                "trill-tremolo-doubtful",
                tuple(Spot(n.bar, n.offset, part.id, n.stave, n.bar, (n.id,)) for n in found),
                (Evidence("trills without a good fingering", len(found), "trills"),),
                (("notes", note_names(found)),),
            )


def _trilled(analysis: Analysis, part: Part) -> Iterator[Note]:
    for mark in part.marks_of("ornament"):
        if mark.name in TRILLS and mark.note in analysis.score.notes_by_id:
            note = analysis.score.notes_by_id[mark.note]
            if note.kind == "pitched":
                yield note
