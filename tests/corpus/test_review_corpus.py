"""Every real score goes through the review: no traceback, no crashed check, places that exist."""

import json
from pathlib import Path

import pytest

from redstave import app

pytestmark = pytest.mark.corpus

FOLDER = Path(__file__).resolve().parents[3] / "shared" / "scores"
FILES = sorted(
    path
    for folder in ("orchestra", "shared-staves", "pairs", "suite")
    for path in (FOLDER / folder).glob("*")
)
LETTERS = (
    "orchestra/Bruckner_WAB.105_3b_Trio.mxl",
    "orchestra/Mayer_Quartet_Op.14.mxl",
    "shared-staves/Moniuszko_Polonez.musicxml",
)


@pytest.mark.parametrize("file", FILES, ids=lambda path: path.name)
def test_every_file_is_reviewed(scores: Path, file: Path) -> None:
    """Every file gives a review; no check crashes, and every place is on a part of the score."""
    assert scores.is_dir()
    analysis = app.open_entry(file)
    done = app.review(analysis, file.stem, app.choose())
    data = json.loads(json.dumps(app.review_json(done, analysis)))
    assert [missing for missing in data["not_assessed"] if "crash" in missing["reason"]] == []
    parts = {part.id for part in analysis.score.parts}
    for finding in data["findings"]:
        assert all(place["part"] in parts for place in finding["places"])


@pytest.mark.parametrize("name", LETTERS)
def test_a_letter_is_written(scores: Path, name: str, tmp_path: Path) -> None:
    """The letter of a real score holds an engraved excerpt and the ribbons of the whole piece."""
    entry = scores / name
    analysis = app.open_entry(entry)
    done = app.review(analysis, entry.stem, app.choose())
    text = app.write_letter(done, analysis, entry, tmp_path).read_text("utf-8")
    assert text.count("<svg") > 2
    assert "could not be engraved" not in text


def test_there_are_files(scores: Path) -> None:
    """The folders of real scores hold what the tests above run over."""
    assert len(FILES) > 140, f"only {len(FILES)} files in {scores}"
