"""The check `nearly-silent-part`."""

from collections import Counter
from collections.abc import Iterator

from redstave.analysis import Analysis
from redstave.checks.registry import CannotJudge, Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding, Spot

RARE = frozenset({"percussion"})


@check(
    "nearly-silent-part",
    Claim.QUESTION,
    sources=("wieland", "common-practice"),
    settings=(
        Setting("most_notes", 3.0, "notes", "a part with more notes is left alone", "wieland"),
        Setting("least_bars", 16.0, "bars", "shorter pieces are left alone", "common-practice"),
    ),
)
def nearly_silent_part(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Ask about players who hardly play.

    What it reports
        Parts with three notes or fewer in a whole piece.

    Why it matters
        A player sits through the piece for them. It can be the stroke of genius, or a stave left
        over from the list of instruments.

    How it is computed
        The tones of each part are counted.

    Limits
        Percussion is left alone: one stroke can be the point of a piece.

    Sources
        wieland: a college course takes marks off for parts with three notes or fewer.
    """
    if len(analysis.score.bars) < limits["least_bars"]:
        raise CannotJudge(f"the piece has only {len(analysis.score.bars)} bars")
    lines = analysis.playing.lines
    counted = Counter(lines[tone.line].part for tone in analysis.playing.tones)
    rare = {line.part for line in lines if line.family in RARE}
    most = limits["most_notes"]
    names = [part.id for part in analysis.score.parts]
    silent = [name for name in names if name not in rare and counted[name] <= most]
    if silent and len(silent) < len(names):
        notes = max(counted[name] for name in silent)
        yield Finding(
            "nearly-silent-part",
            tuple(Spot(0, 0, name, 1, 0) for name in silent),
            (Evidence("most notes in such a part", notes, "notes", most),),
        )
