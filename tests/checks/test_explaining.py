"""A finding that explains others says so."""

from pathlib import Path

import pytest

from redstave.analysis import Analysis
from redstave.base.errors import DataError
from redstave.checks import catalogue, run_checks
from redstave.checks.explaining import explained, read_rules, rules
from redstave.model.finding import Claim, Finding, Spot
from redstave.reading import read_bytes

HERE = Path(__file__).parent
PAGE = b"""title: Four parts
meter: 4/4
key: 0
tempo: 80 "Andante"
pitch: sounding

part Oboe | clef=treble
p C5/4 D5 E5 F5 | R | G5/1 | mf A5/1 |

part Trumpet in C | clef=treble
f C5/1 | D5/1 | E5/1 | F5/1 |

part Violin I | clef=treble
p G4/1 | A4/1 | B4/1 | C5/1 |
"""


@pytest.fixture(scope="module")
def analysis() -> Analysis:
    """A page of three parts in four bars."""
    return Analysis(read_bytes(PAGE, "page.tiny"))


def finding(slug: str, *places: tuple[str, int], context: tuple[str, ...] = ()) -> Finding:
    """Return a finding at whole bars (indices) of some parts."""
    spots = tuple(Spot(bar, 0, part, 1, bar) for part, bar in places)
    return Finding(slug, spots, (), (), Claim.RISK, context)


def pairs(analysis: Analysis, *findings: Finding) -> list[tuple[int, int]]:
    """Return which finding explains which, by their places in the list."""
    return [(one.cause, one.other) for one in explained(analysis, findings)]


def test_rules_name_checks_that_exist() -> None:
    """A rule for a check nobody has would never be seen to fail."""
    named = {slug for rule in rules() for slug in (rule.cause, *rule.others)}
    assert named <= catalogue().keys()


def test_brass_over_a_tune_explains_that_it_is_covered(analysis: Analysis) -> None:
    """In the same bars, for the tune itself and for what the brass alone covers; not elsewhere."""
    brass = finding("brass-at-par-overpowers", ("P1", 0), ("P2", 0))
    same = finding("tune-covered", ("P1", 0))
    masked = finding("plucked-line-covered", ("P3", 0), context=("P2",))
    later = finding("tune-covered", ("P1", 2))
    other = finding("tune-covered", ("P3", 0), context=("P1x",))
    assert pairs(analysis, brass, same, masked, later, other) == [(0, 1), (0, 2)]


def test_every_place_must_be_explained(analysis: Analysis) -> None:
    """A finding of which one place lies elsewhere has a cause of its own."""
    brass = finding("brass-at-par-overpowers", ("P1", 0), ("P2", 0))
    assert pairs(analysis, brass, finding("tune-covered", ("P1", 0), ("P1", 3))) == []


def test_a_missing_level_explains_what_follows_until_the_next_level(analysis: Analysis) -> None:
    """From the entry on, in its part, and no further than the next level told to it."""
    missing = finding("entry-level-missing", ("P1", 2))
    assert pairs(analysis, missing, finding("tune-covered", ("P1", 2))) == [(0, 1)]
    for far in (("P1", 0), ("P1", 3), ("P3", 2)):
        assert pairs(analysis, missing, finding("tune-covered", far)) == []


def test_a_question_about_a_level_explains_no_risk(analysis: Analysis) -> None:
    """Where the last level still fits, its absence is not what covers the tune."""
    asked = Finding("entry-level-missing", (Spot(2, 0, "P1", 1, 2),), (), (), Claim.QUESTION)
    assert pairs(analysis, asked, finding("tune-covered", ("P1", 2))) == []


def test_a_missing_tempo_explains_only_what_was_counted_in_seconds() -> None:
    """In a page without tempo the findings that rest on an assumed one hang on it."""
    text = (HERE / "slur-longer-than-bow/bad.tiny").read_text("utf-8")
    page = "\n".join(line for line in text.splitlines() if not line.startswith("tempo:"))
    wanted = ["slur-longer-than-bow", "tempo-absent-or-misplaced", "document-facts-missing"]
    found = run_checks(
        Analysis(read_bytes(page.encode(), "page.tiny")), [catalogue()[slug] for slug in wanted]
    )
    told = {
        (found.findings[one.cause].slug, found.findings[one.other].slug) for one in found.explains
    }
    assert told == {("tempo-absent-or-misplaced", "slur-longer-than-bow")}


@pytest.mark.parametrize(
    "text",
    [
        '[[rule]]\ncause = "a-b"\nothers = ["c-d"]\nreach = "everywhere"\nwhy = "so"',
        '[[rule]]\ncause = "a-b"\nothers = ["c-d"]\nreach = "bars"',
        '[[rule]]\ncause = "a-b"\nothers = ["c-d"]\nreach = "bars"\nwhy = "so"\nwhen = "now"',
        '[[rule]]\ncause = "a-b"\nothers = ["c-d"]\nreach = "bars"\nwhy = "so"\n'
        '[[rule]]\ncause = "c-d"\nothers = ["a-b"]\nreach = "bars"\nwhy = "so"',
    ],
    ids=["unknown reach", "no reason", "unknown key", "circle"],
)
def test_faulty_rules_do_not_load(text: str) -> None:
    """A rule with an unknown key or reach, without a reason, or in a circle, is a DataError."""
    with pytest.raises(DataError):
        read_rules(text)
