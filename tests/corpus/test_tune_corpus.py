"""Gates on the tune, held on real movements whose main line listeners named.

The gates were set before they were measured (docs/evidence.md has all movements). What does not
hold is marked as a strict expected failure: it fails the suite on the day it starts to hold.
"""

from pathlib import Path

import numpy as np
import pytest

from redstave.analysis.tune import RULE
from tools.evidence import naming
from tools.evidence.listeners import annotated
from tools.evidence.planted_tunes import Planted, flagged, planted

pytestmark = pytest.mark.corpus

NAMED = 0.72  # share of time in which the listeners' strand is named, mean over movements
AS_WRITTEN, PP_AGAINST_F = 0, 1
HEARD = ("as written", "tune pp, all others f")


@pytest.fixture(scope="module")
def movements(scores: Path) -> list[naming.Movement]:
    """All annotated movements, read."""
    return list(annotated(scores))


@pytest.fixture(scope="module")
def buried(movements: list[naming.Movement]) -> list[Planted]:
    """All movements, heard as written and with buried tunes."""
    return [planted(*one, HEARD) for one in movements]


def joined(buried: list[Planted], fault: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Return margins, leads and which passages are solo wood, of all the movements."""
    return (
        np.concatenate([one.margins[fault] for one in buried]),
        np.concatenate([one.leads[fault] for one in buried]),
        np.concatenate([one.solo for one in buried]),
    )


def test_listeners_strand_is_named(movements: list[naming.Movement]) -> None:
    """The strand that listeners named is named at least 72 % of the time, mean over movements."""
    assert naming.agreement(movements, RULE).mean() >= NAMED


def test_printed_spans_agree_as_well(movements: list[naming.Movement]) -> None:
    """The part that listeners named is among those of the span at least 72 % of the time."""
    assert np.mean([naming.agreed_by_spans(*one) for one in movements]) >= NAMED


def test_no_movement_decides(movements: list[naming.Movement]) -> None:
    """Whichever movement is left out, the mean over the others stays above the gate."""
    found = naming.agreement(movements, RULE)
    assert ((found.sum() - found) / (found.size - 1)).min() >= NAMED


def test_confidence_is_honest(movements: list[naming.Movement]) -> None:
    """What is said with more than 80 % confidence is right at least 80 % of the time."""
    stated, right, weight = (
        np.concatenate(one) for one in zip(*map(naming.told, movements), strict=True)
    )
    sure = stated > 0.8
    assert sure.any()
    assert np.average(right[sure], weights=weight[sure]) >= 0.8


def test_the_words_for_the_rule_are_complete() -> None:
    """The evidence page tries every number of the rule."""
    assert naming.known_signs()


def test_masters_tunes_are_left_alone(buried: list[Planted]) -> None:
    """As written at most 2 % of passages are covered, 7 % below 6 dB, of solo woodwinds 12 %."""
    margins, _, solo = joined(buried, AS_WRITTEN)
    assert np.mean(margins < 0.0) <= 0.02
    assert np.mean(margins < 6.0) <= 0.07
    assert np.mean(margins[solo] < 6.0) <= 0.12


def test_buried_tunes_are_flagged(buried: list[Planted]) -> None:
    """Pp against f, at least 85 % of passages are below 6 dB or submerged."""
    margins, leads, _ = joined(buried, PP_AGAINST_F)
    risk, submerged = flagged(margins, leads)
    assert np.mean(risk | submerged) >= 0.85


def test_buried_solo_woodwinds_are_flagged(buried: list[Planted]) -> None:
    """Pp against f, at least 95 % of the passages that a woodwind has alone are flagged."""
    margins, leads, solo = joined(buried, PP_AGAINST_F)
    risk, submerged = flagged(margins, leads)
    assert solo.sum() >= 150
    assert np.mean((risk | submerged)[solo]) >= 0.95


def test_loudness_in_company_ranks_the_tune_high(buried: list[Planted]) -> None:
    """Within a slice the named strand is ranked above another in at least 76 % of pairs."""
    assert np.mean([one.partial_auc for one in buried]) >= 0.76
