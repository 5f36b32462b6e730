"""The credit `colour-kept-for-later`."""

from collections.abc import Iterator

from redstave.analysis import Analysis
from redstave.analysis.page import in_words
from redstave.analysis.spots import bars_spot
from redstave.checks.registry import CannotJudge, Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding


@check(
    "colour-kept-for-later",
    Claim.CREDIT,
    sources=("rk", "common-practice"),
    settings=(
        Setting(
            "least_share",
            0.4,
            "share of bars",
            "an instrument must be silent for this share of the piece before it enters",
            "common-practice",
        ),
        Setting("least_bars", 16.0, "bars", "shorter pieces are left alone", "common-practice"),
        Setting(
            "most_late",
            0.5,
            "share of instruments",
            "where more of the instruments come late, nothing is being kept",
            "common-practice",
        ),
    ),
)
def colour_kept_for_later(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Praise a colour that is kept back for its moment.

    What it reports
        An instrument whose first entry comes late in the piece, while most have long been heard.

    Why it matters
        A colour that has not been heard is the strongest means an orchestrator has. Spent in the
        first bar it is gone.

    How it is computed
        For each instrument the bar of its first tone is set against the length of the piece.

    Limits
        Whether the entry falls on a turn of the form is not judged.

    Sources
        rk: economy of the brightest colours, as a heading of the treatise. The numbers: ours.
    """
    bars = len(analysis.score.bars)
    if bars < limits["least_bars"]:
        raise CannotJudge(f"the piece has only {bars} bars")
    first: dict[str, int] = {}
    for tone in analysis.playing.tones:
        name = analysis.playing.lines[tone.line].instrument
        if name:
            first[name] = min(tone.bar, first.get(name, tone.bar))
    late = {name: bar for name, bar in first.items() if bar >= limits["least_share"] * bars}
    if not late or len(late) > limits["most_late"] * len(first):
        return
    for bar in sorted(set(late.values())):
        names = [name for name, at in late.items() if at == bar and name in analysis.book]
        if names:
            yield Finding(
                "colour-kept-for-later",
                (bars_spot(analysis, bar, bar),),
                (Evidence("share of the piece before it", round(bar / bars, 2), "share of bars"),),
                (("instruments", in_words(analysis.book[name].name.lower() for name in names)),),
            )
