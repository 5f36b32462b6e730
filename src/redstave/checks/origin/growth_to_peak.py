"""The credit `growth-to-peak`."""

from collections.abc import Iterator

from redstave.analysis import Analysis
from redstave.analysis.spots import bars_spot
from redstave.checks.needs import with_original
from redstave.checks.registry import CannotJudge, Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding
from redstave.original.form import form_of
from redstave.original.peak import peak


@check(
    "growth-to-peak",
    Claim.CREDIT,
    sources=("rk", "common-practice"),
    settings=(
        Setting(
            "least_growth",
            1.3,
            "ratio",
            "at the height so many times the lines of the bars before must sound",
            "common-practice",
        ),
        Setting(
            "bars_before",
            8.0,
            "bars",
            "over so many bars before the height the growth is looked for",
            "common-practice",
        ),
        Setting(
            "most_share_full",
            0.34,
            "share of bars",
            "a score that is as full for longer than this has nothing to grow to",
            "common-practice",
        ),
    ),
)
def growth_to_peak(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Praise a score that grows towards the height of the piano piece and is fullest there.

    What it reports
        Instruments are added on the way to the loudest place of the original; the fullest scoring
        stands there and is rare elsewhere.

    Why it matters
        A pianist can only play louder. The orchestra can grow; where it grows to what the piece
        itself grows to, the form is heard from the last row.

    How it is computed
        The height is where the pianist is told to be loudest. The lines that sound there are
        compared with those in the bars before it, in two halves, and with the whole piece.

    Limits
        Only the number of lines is counted. A piece whose page gives no height is not judged.

    Sources
        rk: a crescendo over the form is made by adding instruments. The limits are ours.
    """
    with_original(analysis)
    found = peak(analysis)
    if found is None or not found.source:
        raise CannotJudge("the original is marked louder in no one place than elsewhere")
    lines, first = form_of(analysis).lines, found.source[0]
    half = round(limits["bars_before"] / 2)
    if first < 2 * half or found.distance != 0:
        return
    far = sum(lines[first - 2 * half : first - half]) / half
    near = sum(lines[first - half : first]) / half
    at, share = max(lines[bar] for bar in found.source), len(found.fullest) / len(lines)
    grows = far <= near <= at and at >= limits["least_growth"] * max(far, 1e-9)
    if grows and share <= limits["most_share_full"]:
        yield Finding(
            "growth-to-peak",
            (bars_spot(analysis, first - 2 * half, found.source[-1]),),
            _evidence(at, near, far, share, limits),
            _words(analysis.score.bars[first].number, far, at),
        )


def _words(height: str, far: float, at: float) -> tuple[tuple[str, str], ...]:
    return ("height", height), ("few", str(round(far))), ("many", str(round(at)))


def _evidence(
    at: float, near: float, far: float, share: float, limits: Limits
) -> tuple[Evidence, ...]:
    """Return how many lines sound at the height and in both halves of the way to it."""
    most = limits["most_share_full"]
    return (
        Evidence("lines at the height", round(at, 1), "lines"),
        Evidence("lines in the bars before it", round(near, 1), "lines"),
        Evidence("lines in the bars before those", round(far, 1), "lines"),
        Evidence("bars as full as that", round(share, 2), "share of bars", most),
    )
