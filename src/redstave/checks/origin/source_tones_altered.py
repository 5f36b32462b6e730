"""The check `source-tones-altered`."""

from collections.abc import Iterator

from redstave.analysis import Analysis
from redstave.analysis.page import in_words, note_name
from redstave.checks.grouping import gathered
from redstave.checks.needs import with_original
from redstave.checks.registry import Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding, Spot
from redstave.original.beside import Beside
from redstave.original.lost import Altered, altered_tones

MOST_NAMED = 4


@check(
    "source-tones-altered",
    Claim.QUESTION,
    sources=("common-practice",),
    settings=(
        Setting("least_tones", 1.0, "tones", "fewer are not asked about", "common-practice"),
    ),
)
def source_tones_altered(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Ask about tones that stand a semitone beside those of the piano piece.

    What it reports
        A tone of the piano that sounds nowhere in the bar, while a player has, at the same time and
        for as long, one that lies a semitone beside it.

    Why it matters
        A forgotten accidental is the commonest slip in copying, and transposed parts hide it well.

    How it is computed
        Tones of the score that come from no tone of the piano are laid beside those of the piano
        that nobody plays. Where they last together, the one stands for the other.

    Limits
        A harmony that was changed on purpose is asked about too, and a slip that other players
        cover with the right note is not found.

    Sources
        Common practice, no source.
    """
    both = with_original(analysis)
    places = [(_spot(analysis, one), one) for one in altered_tones(analysis)]
    for _, spots in gathered(("", spot) for spot in dict.fromkeys(spot for spot, _ in places)):
        found = [one for spot, one in places if spot in spots]
        if len(found) < limits["least_tones"]:
            continue
        pairs = dict.fromkeys(_pair(both, one) for one in found)
        yield Finding(
            "source-tones-altered",
            spots,
            (Evidence("tones a semitone beside the piano's", len(spots), "tones"),),
            (("tones", in_words(list(pairs)[:MOST_NAMED])),),
        )


def _pair(both: Beside, one: Altered) -> str:
    here = both.entry.notes_by_id[both.playing.tones[one.tone].notes[0]]
    there = both.original.notes_by_id[both.match.source[one.source].notes[0]]
    return f"{note_name(here)} for the piano's {note_name(there)}"


def _spot(analysis: Analysis, one: Altered) -> Spot:
    note = analysis.score.notes_by_id[analysis.playing.tones[one.tone].notes[0]]
    part = analysis.playing.lines[analysis.playing.tones[one.tone].line].part
    return Spot(note.bar, note.offset, part, note.stave, note.bar, (note.id,))
