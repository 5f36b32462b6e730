"""The check `harp-fixed-strings-altered`."""

from collections.abc import Iterator

from redstave.analysis import Analysis
from redstave.analysis.page import note_names, spot
from redstave.analysis.struck import Struck, struck
from redstave.checks.needs import harps
from redstave.checks.registry import Limits, check
from redstave.model.finding import Claim, Evidence, Finding
from redstave.model.score import Note

FIXED = frozenset({("C", 1), ("D", 1)})


@check("harp-fixed-strings-altered", Claim.RISK, sources=("compharp",))
def harp_fixed_strings_altered(analysis: Analysis, _: Limits) -> Iterator[Finding]:
    """Find changes of the two lowest harp strings, which have no pedal.

    What it reports
        The lowest C or D of the harp written in more than one form within a piece.

    Why it matters
        These strings are tuned once and stay. A second form cannot be had before the harpist has
        time and silence to tune.

    How it is computed
        All notes C1 and D1 of the part are gathered; each letter may have one form only.

    Limits
        A long rest and a tuning key can help; the page would have to ask for it.

    Sources
        compharp: the lowest C and D are fixed; they can be tuned beforehand.
    """
    for part in harps(analysis):
        low = [
            (one, note)
            for one in struck(analysis.score, part)
            for note in one.notes
            if (note.step, note.octave) in FIXED
        ]
        clash = [(one, note) for one, note in low if _forms(low, note) > 1]
        if clash:
            yield Finding(
                "harp-fixed-strings-altered",
                tuple(spot(part, one.chords) for one, _ in clash),
                (Evidence("notes on fixed strings in two forms", len(clash), "notes"),),
                (("notes", note_names(note for _, note in clash)),),
            )


def _forms(low: list[tuple[Struck, Note]], note: Note) -> int:
    return len({other.alter for _, other in low if other.step == note.step})
