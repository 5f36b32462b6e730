"""What stands in the margin: words, places, what is said of the whole piece."""

from dataclasses import replace

from redstave.app.desk import Opened
from redstave.app.desk.margin import findings_of
from redstave.model.finding import Finding, Spot
from redstave.render.wording import OTHER_EDITION
from tests.app.desk.entry import opened


def with_findings(*findings: Finding) -> Opened:
    """Return the entry with other findings in its review."""
    one = opened()
    review = replace(one.review, findings=findings)
    return Opened(one.code, one.analysis, review, one.xml)


def test_a_finding_has_words_and_places() -> None:
    """Title, sentence and reason are there; every place names its bars, part and notes."""
    notes = findings_of(opened())
    assert notes
    for note in notes:
        assert note["title"]
        assert note["says"]
        assert note["sign"] in "✕!?✓"
        assert all(place["words"] for place in note["places"])


def test_what_speaks_of_nearly_all_bars_speaks_of_the_whole() -> None:
    """A place over all bars without notes is the whole piece; one with notes, or shorter, not."""
    spots = (Spot(0, 0, "P1", 1, 3), Spot(0, 0, "P1", 1, 1), Spot(0, 0, "P1", 1, 3, ("P1.0.0",)))
    findings = [Finding("rehearsal-marks-sparse", (spot,), ()) for spot in spots]
    assert [note["whole"] for note in findings_of(with_findings(*findings))] == [True, False, False]


def test_what_speaks_of_bars_names_no_part() -> None:
    """A section is no matter of the flute because the flute stands on top of the page."""
    (note,) = findings_of(
        with_findings(Finding("sections-contrast", (Spot(1, 0, "P1", 1, 2),), ()))
    )
    assert note["parts"] == ""
    assert note["places"][0]["part"] == ""
    assert note["places"][0]["words"] == "bars 2–3"


def test_a_finding_of_another_edition_is_told_as_such() -> None:
    """A kept finding for which ours have no words does not take the page with it."""
    unknown = Finding("a-check-that-went", (Spot(1, 0, "P1", 1, 2),), ())
    lacking = Finding("tune-covered", (Spot(1, 0, "P1", 1, 2),), ())
    first, second = findings_of(with_findings(unknown, lacking))
    assert (first["title"], first["says"]) == ("A check that went", OTHER_EDITION)
    assert second["says"] == OTHER_EDITION
