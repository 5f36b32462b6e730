"""Ways out that were tried, and the order of findings by consequence."""

import re
from pathlib import Path

import pytest

from redstave import app
from redstave.analysis import Analysis
from redstave.app import remedies
from redstave.model.finding import Claim, Explains, Finding, Spot
from redstave.model.review import Provenance, Review
from redstave.reading import read, read_bytes

CHECKS = Path(__file__).parents[1] / "checks"
NOTHING = Provenance("", "", "", "", "", "", "", "", (), ())


def reviewed(slug: str) -> Review:
    """Review the bad example of a check with that check alone."""
    return app.review(Analysis(read(CHECKS / slug / "bad.tiny")), slug, app.choose(only=[slug]))


def test_brass_at_par_has_a_way_out_by_its_loudness() -> None:
    """The brass is told softer until it is no longer twice as loud, however it is marked."""
    done = reviewed("brass-at-par-overpowers")
    texts = done.ways_of(done.faults[0])
    assert texts
    assert "softer" in texts[0]
    assert "Violin I rises from" in texts[0]


def test_all_who_have_the_tune_are_told_louder_and_it_is_noticed() -> None:
    """A way out that raises the tune raises its doublings too, by a decibel at least."""
    page = (CHECKS / "brass-at-par-overpowers" / "bad.tiny").read_text("utf-8")
    tune = page[page.index("part Violin I ") : page.index("part Violoncello")]
    doubled = page + tune.replace("Violin I ", "Violin II ")
    analysis = Analysis(read_bytes(doubled.encode(), "doubled.tiny"))
    done = app.review(analysis, "doubled", app.choose(only=["brass-at-par-overpowers"]))
    louder = [text for text in done.ways_of(done.faults[0]) if "louder" in text]
    assert louder
    assert "Violin I and Violin II" in louder[0]
    rise = re.search(r"from ([\d.]+) to ([\d.]+) sone", louder[0])
    assert rise
    a_decibel = 2**0.1  # ten of them double the sones (ISO 532)
    assert float(rise[2]) > a_decibel * float(rise[1])


def test_a_thick_chord_tone_has_one_player_left_out() -> None:
    """Of two players on one inner note the second rests, and the note becomes softer."""
    done = reviewed("one-chord-tone-thick")
    (text,) = done.ways_of(done.faults[0])
    assert text.startswith("Leave out")
    assert "falls from" in text


def test_an_inner_tone_is_told_softer() -> None:
    """The inner voice that stands out is softened until it no longer does."""
    done = reviewed("inner-tone-sticks-out")
    assert "softer" in done.ways_of(done.faults[0])[0]


def test_what_is_not_tried_is_counted(monkeypatch: pytest.MonkeyPatch) -> None:
    """Findings beyond the limit are counted, never passed over in silence."""
    monkeypatch.setattr(remedies, "MOST_FINDINGS", 0)
    done = reviewed("brass-at-par-overpowers")
    assert done.ways == ()
    assert done.untried == 1


def test_findings_are_ranked_by_what_hangs_on_them() -> None:
    """Graver claims first, then what explains most; what another explains comes last."""

    def finding(slug: str, claim: Claim, bar: int) -> Finding:
        return Finding(slug, (Spot(bar, 0, "P1", 1, bar),), (), (), claim)

    findings = (
        finding("explained", Claim.RISK, 0),
        finding("alone", Claim.RISK, 1),
        finding("cause", Claim.RISK, 2),
        finding("asked", Claim.QUESTION, 3),
        finding("grave", Claim.IMPOSSIBLE, 4),
        finding("earned", Claim.CREDIT, 5),
    )
    done = Review("", "", NOTHING, findings, (), (), explains=(Explains(2, 0, "so it is"),))
    order = [one.slug for one in done.by_consequence]
    assert order == ["grave", "cause", "alone", "explained", "asked"]
    assert done.explained(findings[2]) == (findings[0],)
    assert done.explained_by(findings[0]) == ((findings[2], "so it is"),)
