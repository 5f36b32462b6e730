"""A check fires, is silent, or is not assessed; a crash never passes for silence."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from redstave.analysis import Analysis
from redstave.checks import catalogue, run_checks
from redstave.checks.registry import CannotJudge, Check, Judge, Status
from redstave.model.finding import Claim, Finding, NotAssessed, Spot
from redstave.reading import read_bytes

UNKNOWN = b"""title: Unknown forces
meter: 4/4
key: 0
tempo: 80 "Andante"
pitch: written

part Zorblophone | clef=treble
p C4/4 D4 E4 F4 | G4/1 |
"""
LEAST_ONE_INSTRUMENT = [
    "pitch-outside-instrument",
    "slur-over-equal-notes",
    "residue-from-other-family",
    "uneven-level-in-choir",
    *(slug for slug, one in catalogue().items() if one.family == "strings"),
]


def made(slug: str, judge: Judge) -> Check:
    """Return a check that is in no catalogue."""
    return Check(slug, "made", Claim.RISK, Status.TRIAL, True, (), (), judge, "")


@pytest.fixture(scope="module")
def unknown() -> Analysis:
    """A score whose only part has a name nobody knows."""
    return Analysis(read_bytes(UNKNOWN, "unknown.tiny"))


def crashing(analysis: Analysis, _: object) -> Iterator[Finding]:
    """Say something, then fall over."""
    yield Finding("falls-over", (Spot(0, 0, analysis.score.parts[0].id, 1, 0),), ())
    raise ZeroDivisionError("no bars to divide by")


def without_tempo(_analysis: Analysis, _: object) -> Iterator[Finding]:
    """Lack what is needed."""
    raise CannotJudge("no tempo is given")
    yield


def quiet(_analysis: Analysis, _: object) -> Iterator[Finding]:
    """Find nothing."""
    yield from ()


def test_a_crashing_check_is_reported_and_stops_nothing(unknown: Analysis) -> None:
    """The crash is told with its cause, what the check had said before is dropped, others go on."""
    checks = [made("falls-over", crashing), made("finds-nothing", quiet)]
    outcome = run_checks(unknown, checks)
    assert outcome.findings == ()
    assert outcome.silent == ("finds-nothing",)
    (told,) = outcome.not_assessed
    assert told.slug == "falls-over"
    assert "ZeroDivisionError" in told.reason
    assert "no bars to divide by" in told.reason


def test_a_check_that_cannot_judge_says_why(unknown: Analysis) -> None:
    """The reason given by the check is the reason shown."""
    outcome = run_checks(unknown, [made("needs-tempo", without_tempo)])
    assert outcome.not_assessed == (NotAssessed("needs-tempo", "no tempo is given"),)
    assert outcome.silent == ()


@pytest.mark.parametrize("slug", LEAST_ONE_INSTRUMENT)
def test_unknown_instruments_are_not_silence(slug: str, unknown: Analysis) -> None:
    """A check that rests on knowing the instrument is not assessed where none is known."""
    outcome = run_checks(unknown, [catalogue()[slug]])
    assert [told.slug for told in outcome.not_assessed] == [slug]
    assert outcome.silent == ()


def test_unknown_parts_are_named(unknown: Analysis) -> None:
    """What could not be judged for compass is listed by name."""
    outcome = run_checks(unknown, [catalogue()["pitch-outside-instrument"]])
    assert "Zorblophone" in outcome.not_assessed[0].reason


def test_findings_come_in_the_order_of_the_page() -> None:
    """Findings of several checks are sorted by their first place, then by part."""
    text = (Path(__file__).parent / "pitch-outside-instrument" / "bad.tiny").read_bytes()
    analysis = Analysis(read_bytes(text, "bad.tiny"))
    outcome = run_checks(analysis, catalogue().values())
    order = [part.id for part in analysis.score.parts]
    firsts = [
        min((spot.bar, spot.offset, order.index(spot.part)) for spot in finding.spots)
        for finding in outcome.findings
    ]
    assert len(firsts) > 2
    assert firsts == sorted(firsts)
