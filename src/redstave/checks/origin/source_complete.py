"""The credit `source-complete`."""

from collections.abc import Iterator

from redstave.analysis import Analysis
from redstave.analysis.spots import bars_spot
from redstave.checks.needs import with_original
from redstave.checks.registry import Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding
from redstave.model.match import Match
from redstave.model.role import Role


@check(
    "source-complete",
    Claim.CREDIT,
    sources=("nzqa", "common-practice"),
    settings=(
        Setting(
            "least_outer",
            0.98,
            "share of tones",
            "so many tones of tune and bass must sound",
            "common-practice",
        ),
        Setting("least_all", 0.95, "share of tones", "and so many of all tones", "common-practice"),
    ),
)
def source_complete(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Praise a score in which all of the piano piece is there.

    What it reports
        Every bar of the original is in the score, and nearly every tone sounds in some octave.

    Why it matters
        Faithfulness is the ground on which the rest stands: whoever has kept all may change all.

    How it is computed
        The bars are matched by what sounds in them; a tone is there if a player sounds its pitch,
        in whatever octave, while it lasts.

    Limits
        Whether what is there can be heard is for other checks.

    Sources
        nzqa: accuracy of the score as a criterion of arranging. The shares are ours.
    """
    both = with_original(analysis)
    match = both.match
    if len(match.entry_bars_of) < len(both.original.bars) or match.unfinished:
        return
    outer, share = _there(match)
    least_outer, least = limits["least_outer"], limits["least_all"]
    if outer >= least_outer and share >= least:
        yield Finding(
            "source-complete",
            (bars_spot(analysis, 0, len(analysis.score.bars) - 1),),
            (
                Evidence("bars of the original", len(both.original.bars), "bars"),
                Evidence("of tune and bass there", round(outer, 3), "share of tones", least_outer),
                Evidence("of all tones there", round(share, 3), "share of tones", least),
            ),
            (("share", f"{round(100 * share)} %"),),
        )


def _there(match: Match) -> tuple[float, float]:
    """Return which share of the tones of tune and bass somebody plays, and of all tones."""
    lost = set(match.left_out)
    outer = [
        at
        for at, tone in enumerate(match.source)
        if match.voices[tone.voice].role in (Role.TUNE, Role.BASS)
    ]
    outer_share = 1.0 - sum(at in lost for at in outer) / max(len(outer), 1)
    return outer_share, 1.0 - len(lost) / max(len(match.source), 1)
