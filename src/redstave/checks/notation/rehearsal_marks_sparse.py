"""The check `rehearsal-marks-sparse`."""

from collections.abc import Iterator
from itertools import pairwise

from redstave.analysis import Analysis
from redstave.analysis.spots import bars_spot
from redstave.checks.registry import Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding


@check(
    "rehearsal-marks-sparse",
    Claim.QUESTION,
    sources=("reading1", "bennew", "common-practice"),
    settings=(
        Setting(
            "most_bars",
            24.0,
            "bars",
            "a longer stretch without a letter or number is asked about",
            "common-practice",
        ),
        Setting(
            "short_piece",
            40.0,
            "bars",
            "a piece no longer than this needs none",
            "common-practice",
        ),
    ),
)
def rehearsal_marks_sparse(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Ask about long stretches without a rehearsal letter.

    What it reports
        A score without rehearsal letters or numbers, and the longest stretch between two of them
        where it is very long.

    Why it matters
        In a rehearsal everything begins with "from letter C". Without letters eighty people count
        bars, and ten of them count wrongly.

    How it is computed
        The bars of all rehearsal marks of all parts are put in order, with the first bar and the
        end. The longest gap is held against most_bars. Short pieces need none.

    Limits
        Whether the letters stand where the music turns is not judged. Large printed bar numbers
        can take their place and are not seen.

    Sources
        reading1: a letter or number about every seven to ten bars, at structural points; bennew:
        throughout. How much more is still bearable: common practice, no source.
    """
    bars = len(analysis.score.bars)
    if bars <= limits["short_piece"]:
        return
    marked = sorted(
        {mark.bar for part in analysis.score.parts for mark in part.marks_of("rehearsal")}
    )
    first, last = max(pairwise([0, *marked, bars]), key=lambda pair: pair[1] - pair[0])
    if last - first > limits["most_bars"]:
        yield Finding(
            "rehearsal-marks-sparse",
            (bars_spot(analysis, first, last - 1),),
            (
                Evidence("rehearsal marks", len(marked), "marks"),
                Evidence("longest stretch without", last - first, "bars", limits["most_bars"]),
            ),
            (("letters", _letters(len(marked))),),
        )


def _letters(number: int) -> str:
    """Return how many there are, in words."""
    if number == 1:
        return "one rehearsal letter or number"
    return f"{number or 'no'} rehearsal letters or numbers"
