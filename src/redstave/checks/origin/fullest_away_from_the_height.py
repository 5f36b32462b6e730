"""The check `fullest-away-from-the-height`."""

from collections.abc import Iterator

from redstave.analysis import Analysis
from redstave.checks.needs import with_original
from redstave.checks.registry import CannotJudge, Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding
from redstave.model.role import Role
from redstave.original.form import form_of
from redstave.original.peak import peak
from redstave.original.places import voice_spot


@check(
    "fullest-away-from-the-height",
    Claim.QUESTION,
    sources=("rk", "common-practice"),
    settings=(
        Setting(
            "least_bars_away",
            4.0,
            "bars",
            "a score that is fullest nearer to the height is well planned",
            "common-practice",
        ),
        Setting(
            "most_lines",
            0.75,
            "share of lines",
            "with more of the greatest number of lines the height counts as full",
            "common-practice",
        ),
    ),
)
def fullest_away_from_the_height(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Ask about a score that is fullest elsewhere than where the piano piece is loudest.

    What it reports
        The greatest number of lines sounds bars away from the loudest place of the original, and
        clearly fewer sound there.

    Why it matters
        The ear takes the fullest sound for the goal. If it comes before the goal of the music, the
        real one sounds like a second thought.

    How it is computed
        The height is where the pianist is told to be loudest. The lines that sound there are
        compared with the greatest number in any bar.

    Limits
        A height that is thinned out on purpose is asked about too. A piece whose page gives no
        height is not judged.

    Sources
        rk: a crescendo over the form is made by adding instruments. The limits are ours.
    """
    both = with_original(analysis)
    found = peak(analysis)
    if found is None or not found.source:
        raise CannotJudge("the original is marked louder in no one place than elsewhere")
    lines = form_of(analysis).lines
    share = max(lines[bar] for bar in found.source) / max(max(lines), 1e-9)
    away = found.distance or 0
    least_away, most = limits["least_bars_away"], limits["most_lines"]
    if away >= least_away and share < most:
        yield Finding(
            "fullest-away-from-the-height",
            (voice_spot(both, found.source[0], found.source[-1], (Role.TUNE,)),),
            (
                Evidence("bars between the two", away, "bars", least_away),
                Evidence("lines at the height", round(share, 2), "share of lines", most),
            ),
            (("fullest", analysis.score.bars[found.fullest[0]].number),),
        )
