"""The check `beat-accent-hidden-by-arc`."""

from collections.abc import Iterator

from redstave.analysis import Analysis
from redstave.analysis.page import spot
from redstave.checks.needs import with_original
from redstave.checks.registry import CannotJudge, Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding, Spot
from redstave.original.arcs import Arc, arcs
from redstave.original.strokes import hidden_beats


@check(
    "beat-accent-hidden-by-arc",
    Claim.QUESTION,
    sources=("common-practice",),
    settings=(
        Setting(
            "least_beats",
            2.0,
            "downbeats",
            "so many accented downbeats must lie under one slur",
            "common-practice",
        ),
    ),
)
def beat_accent_hidden_by_arc(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Ask about slurs of winds that run over downbeats the pianist is told to strike.

    What it reports
        Slurs of wind players over several barlines, where the piano piece has an accent or a dot on
        the downbeats and the wind part has none.

    Why it matters
        Under a slur a wind player does not tongue. A rhythm that lives from its strong beats turns
        into a murmur, and nobody marks the bar.

    How it is computed
        For each downbeat under a slur, the tones of the piano that the player sounds there are
        looked at for accents and dots; a sign on the player's own note takes the question away.

    Limits
        A legato that is meant as a change of character is asked about too.

    Sources
        Common practice, no source.
    """
    both = with_original(analysis)
    blown = [arc for arc in arcs(analysis) if arc.family in ("woodwind", "brass")]
    if not blown:
        raise CannotJudge("no wind has a slur over music of the original")
    least = limits["least_beats"]
    hidden = [(arc, len(hidden_beats(both, arc))) for arc in blown]
    places = [(_spot(analysis, arc), beats) for arc, beats in hidden if beats >= least]
    if places:
        most = max(beats for _, beats in places)
        yield Finding(
            "beat-accent-hidden-by-arc",
            tuple(place for place, _ in places),
            (
                Evidence("slurs over accented downbeats", len(places), "slurs"),
                Evidence("accented downbeats under one slur", most, "downbeats", least),
            ),
        )


def _spot(analysis: Analysis, arc: Arc) -> Spot:
    return spot(analysis.score.parts_by_id[arc.part], arc.chords)
