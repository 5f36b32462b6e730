"""The check `harp-letter-conflict`."""

from collections import defaultdict
from collections.abc import Iterator

from redstave.analysis import Analysis
from redstave.analysis.harp import playable
from redstave.analysis.page import note_names, spot
from redstave.analysis.struck import Struck, struck
from redstave.checks.needs import harps
from redstave.checks.registry import Limits, check
from redstave.model.finding import Claim, Evidence, Finding
from redstave.model.score import Note, Part


@check("harp-letter-conflict", Claim.RISK, sources=("compharp",))
def harp_letter_conflict(analysis: Analysis, _: Limits) -> Iterator[Finding]:
    """Find harp chords that ask one letter for two forms at once.

    What it reports
        Notes struck together that are spelled with the same letter in two forms, such as F and F
        sharp, and could be played if one of them were spelled with its neighbour.

    Why it matters
        A pedal sets its letter in all octaves. The harpist must find another spelling by himself,
        at sight, and harpists prefer to read what they play.

    How it is computed
        The letters and accidentals of all notes struck at one moment are compared. Chords that no
        respelling can save belong to harp-set-impossible.

    Limits
        The spelling that is best for what comes before and after is the harpist's affair.

    Sources
        compharp: write what is played, E sharp with F sharp or F with G flat.
    """
    for part in harps(analysis):
        bad = [
            one
            for one in struck(analysis.score, part)
            if _clash(one.notes) and playable({round(note.written_midi) for note in one.notes})
        ]
        if bad:
            yield _finding(part, bad)


def _clash(notes: tuple[Note, ...]) -> list[Note]:
    """Return the notes whose letter stands in two forms."""
    forms: dict[str, set[float]] = defaultdict(set)
    for note in notes:
        forms[note.step].add(note.alter)
    return [note for note in notes if len(forms[note.step]) > 1]


def _finding(part: Part, bad: list[Struck]) -> Finding:
    return Finding(
        "harp-letter-conflict",
        tuple(spot(part, one.chords) for one in bad),
        (Evidence("chords with one letter in two forms", len(bad), "chords"),),
        (("notes", note_names(_clash(bad[0].notes))),),
    )
