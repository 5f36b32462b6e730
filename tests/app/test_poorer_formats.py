"""The letter of an entry that came as something else than MusicXML says so."""

from pathlib import Path

import pytest

from redstave import app

DOORS = Path(__file__).resolve().parents[1] / "reading" / "doors"


@pytest.mark.parametrize("kind", ["mei", "krn"])
def test_the_letter_says_what_the_format_keeps_back(tmp_path: Path, kind: str) -> None:
    """Provenance names the format, and the letter what it may not have brought along."""
    entry = DOORS / f"study.{kind}"
    analysis = app.open_entry(entry)
    review = app.review(analysis, "study", app.choose()[:2])
    assert review.provenance.format == {"mei": "mei", "krn": "kern"}[kind]
    letter = app.write_letter(review, analysis, entry, tmp_path).read_text(encoding="utf-8")
    assert "turned into MusicXML: some marks may be missing" in letter
