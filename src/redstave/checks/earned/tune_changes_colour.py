"""The credit `tune-changes-colour`."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from redstave.analysis import Analysis
from redstave.analysis.page import in_words
from redstave.analysis.spots import bars_spot
from redstave.checks.registry import CannotJudge, Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding

Flags = NDArray[np.bool_]


@check(
    "tune-changes-colour",
    Claim.CREDIT,
    sources=("mto", "common-practice"),
    settings=(
        Setting(
            "least_carriers",
            3.0,
            "instruments",
            "so many different instruments must carry the tune",
            "common-practice",
        ),
        Setting(
            "least_share",
            0.08,
            "share of time",
            "an instrument counts when it leads for at least this share of the piece",
            "common-practice",
        ),
        Setting(
            "families",
            2.0,
            "families",
            "and they must come from so many families",
            "common-practice",
        ),
    ),
)
def tune_changes_colour(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Praise a tune that travels through the orchestra.

    What it reports
        The leading line is carried by several instruments of different families in turn.

    Why it matters
        Colour is what an orchestra has and a piano has not. A tune that changes hands is heard
        anew each time.

    How it is computed
        The line that leads is followed through the piece. Instruments that lead for a fair share of
        the time are counted, with their families. What most of them play together is nobody's turn
        and does not count.

    Limits
        The rule for the leading line errs in about three moments of ten. Whether the changes fall
        where the form turns is not judged.

    Sources
        mto: contrast of timbre as what parts sections. The numbers: common practice.
    """
    lines = analysis.playing.lines
    if not (analysis.tune.line >= 0).any():
        raise CannotJudge("no line could be taken as the tune")
    carriers = _in_turn(analysis, limits["least_share"])
    families = {line.family for line in lines if line.instrument in carriers}
    if len(carriers) >= limits["least_carriers"] and len(families) >= limits["families"]:
        names = [analysis.book[name].name.lower() for name in carriers if name in analysis.book]
        count, least = len(carriers), limits["least_carriers"]
        told = (
            Evidence("instruments that carry the tune", count, "instruments", least),
            Evidence("families", len(families), "families", limits["families"]),
        )
        whole = bars_spot(analysis, 0, len(analysis.score.bars) - 1)
        yield Finding("tune-changes-colour", (whole,), told, (("instruments", in_words(names)),))


def _in_turn(analysis: Analysis, least_share: float) -> list[str]:
    """Return the instruments (ids) that lead for this share of the time, not all at once."""
    leading, seconds = analysis.tune.line, analysis.slices.seconds
    playing = np.array([line.instrument for line in analysis.playing.lines])
    found: list[str] = []
    turn = leading >= 0
    for _ in range(2):  # who leads at all; then who leads where not most of these play the tune
        time = np.bincount(leading[turn], seconds[turn], minlength=playing.size)
        whole = float(seconds[leading >= 0].sum())
        found = [
            name
            for name in dict.fromkeys(playing.tolist())
            if name and time[playing == name].sum() >= least_share * whole
        ]
        turn = (leading >= 0) & ~_together(analysis, playing, found)
    return found


def _together(analysis: Analysis, playing: NDArray[np.str_], names: list[str]) -> Flags:
    """Return in which slices more than half of these instruments, and three or more, lead."""
    leads = (analysis.line_strand == analysis.tune.strand[:, None]) & (analysis.line_strand >= 0)
    many = np.zeros(leads.shape[0], dtype=np.int64)
    for name in names:
        many += leads[:, playing == name].any(axis=1)
    found: Flags = many > max(2, len(names) // 2)
    return found
