"""The check `harp-set-impossible`."""

from collections.abc import Iterator

from redstave.analysis import Analysis
from redstave.analysis.harp import playable
from redstave.analysis.page import note_names, spot
from redstave.analysis.struck import Struck, struck
from redstave.checks.needs import harps
from redstave.checks.registry import Limits, check
from redstave.model.finding import Claim, Evidence, Finding
from redstave.model.score import Part


@check("harp-set-impossible", Claim.IMPOSSIBLE, sources=("compharp",))
def harp_set_impossible(analysis: Analysis, _: Limits) -> Iterator[Finding]:
    """Find harp chords that no setting of the pedals can play.

    What it reports
        Notes struck together on the harp that cannot be given strings of their own, however they
        are spelled.

    Why it matters
        The harp has seven strings in an octave, one for each letter, each flat, natural or sharp.
        What needs an eighth cannot be played; the harpist leaves a note out.

    How it is computed
        The pitch classes struck at one moment are matched to letters, each letter used once. If no
        matching exists, no setting and no respelling can help.

    Limits
        Notes still ringing from before are not counted: a pedal may be moved under them.

    Sources
        compharp: G, G sharp and A as the impossible chord of three notes; the rest is arithmetic.
    """
    for part in harps(analysis):
        bad = [one for one in struck(analysis.score, part) if not playable(_pitches(one))]
        if bad:
            yield _finding(part, bad)


def _pitches(one: Struck) -> set[int]:
    return {round(note.written_midi) % 12 for note in one.notes}


def _finding(part: Part, bad: list[Struck]) -> Finding:
    return Finding(
        "harp-set-impossible",
        tuple(spot(part, one.chords) for one in bad),
        (Evidence("chords no setting can play", len(bad), "chords"),),
        (("notes", note_names(bad[0].notes)),),
    )
