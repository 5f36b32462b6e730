"""How often the checks of page and players speak on scores by masters.

Masters' pages are not faultless (a missing div. is common), but a check that speaks often on them
would tire a teacher. The limits are ours: half a proved fault, six risks and eight questions in a
hundred bars for all checks of page and players together. The limit of questions was six until
three checks that masters often trip (pitch in an extreme zone among them) came to ask, not warn.
The movements were among those looked at while the checks were made: this test keeps the rates from
rising, and proves nothing about scores not seen.
"""

from collections import Counter
from pathlib import Path

import pytest

from redstave.analysis import Analysis
from redstave.checks import catalogue, run_checks
from redstave.checks.registry import Check
from redstave.model.finding import Claim
from redstave.reading import read

FAMILIES = {"range", "levels", "winds", "strings", "notation"}
MOVEMENTS = ("Beethoven_Op.67_2", "Brahms_Op.90_3", "Haydn_104_1", "Beach_Op.32_2")
MOST = {Claim.IMPOSSIBLE: 0.5, Claim.RISK: 6.0, Claim.QUESTION: 8.0}  # in 100 bars, all checks


def of_the_page() -> list[Check]:
    """The checks that rest on page and players, not on hearing."""
    return [check for check in catalogue().values() if check.family in FAMILIES]


@pytest.mark.corpus
def test_masters_are_seldom_found_fault_with(scores: Path) -> None:
    """Over four movements the findings of each claim stay below their limits, and none crashes."""
    bars, counts = 0, Counter[Claim | None]()
    for name in MOVEMENTS:
        score = read(scores / "orchestra" / f"{name}.mxl")
        outcome = run_checks(Analysis(score), of_the_page())
        assert outcome.not_assessed == ()
        bars += len(score.bars)
        counts.update(finding.claim for finding in outcome.findings)
    for claim, most in MOST.items():
        assert counts[claim] * 100 / bars <= most, (claim, counts[claim], bars)
    assert sum(counts.values()) > 0
