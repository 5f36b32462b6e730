"""The example is the test: a check fires in one of its two scores, as said there, not in the other.

A fault is found in the bad score, a credit in the good one. That score says in comments where the
check must fire: `; expect: bar 3, Flute 1`; and `; problem: unequal-bar` where the reader must
meet a problem.
"""

import re
from pathlib import Path

import pytest

from redstave.checks import catalogue, run_checks
from redstave.checks.run import Outcome
from redstave.model.finding import Claim
from redstave.model.score import Score
from tools.examples import example, path_of

HERE = Path(__file__).parent
PROBLEM = re.compile(r"^; problem: (\S+)\s*$", re.MULTILINE)
EXPECT = re.compile(r"^; expect: bar (\S+), (.+?)\s*$", re.MULTILINE)
EXAMPLES = sorted(folder.name for folder in HERE.iterdir() if (folder / "bad.tiny").exists())


def firing(slug: str) -> tuple[str, str]:
    """Return which of the two scores makes the check fire, and which leaves it silent."""
    earned = catalogue()[slug].claim is Claim.CREDIT
    return ("good", "bad") if earned else ("bad", "good")


def outcome(slug: str, kind: str) -> tuple[Score, Outcome]:
    """Run one check over one of its examples."""
    analysis = example(slug, kind)
    text = path_of(slug, kind).read_text("utf-8")
    assert [one.code for one in analysis.score.problems] == PROBLEM.findall(text)
    assert analysis.original is None or analysis.original.problems == ()
    return analysis.score, run_checks(analysis, [catalogue()[slug]])


@pytest.mark.parametrize("slug", EXAMPLES)
def test_the_check_fires_at_the_places_the_score_names(slug: str) -> None:
    """The check finds each place named in its score, and no other."""
    kind, _ = firing(slug)
    expected = sorted(EXPECT.findall((HERE / slug / f"{kind}.tiny").read_text("utf-8")))
    assert expected, "the score names no place"
    score, found = outcome(slug, kind)
    assert found.not_assessed == ()
    places = {
        (score.bars[spot.bar].number, score.parts_by_id[spot.part].name)
        for finding in found.findings
        for spot in finding.spots
    }
    assert sorted(places) == expected


@pytest.mark.parametrize("slug", EXAMPLES)
def test_the_other_score_leaves_it_silent(slug: str) -> None:
    """In the other score the check is able to judge and finds nothing."""
    _, found = outcome(slug, firing(slug)[1])
    assert found.findings == ()
    assert found.not_assessed == ()
    assert found.silent == (slug,)


@pytest.mark.parametrize("slug", EXAMPLES)
def test_spots_hold_together(slug: str) -> None:
    """Every spot lies within the score, and its notes stand in its part and bars."""
    score, found = outcome(slug, firing(slug)[0])
    for finding in found.findings:
        for spot in finding.spots:
            assert 0 <= spot.bar <= spot.last_bar < len(score.bars)
            assert 0 <= spot.offset < score.bars[spot.bar].length
            part = score.parts_by_id[spot.part]
            assert 1 <= spot.stave <= part.staves
            notes = [score.notes_by_id[note] for note in spot.notes]
            assert all(note in part.notes for note in notes)
            assert all(note.bar <= spot.last_bar for note in notes)
