"""`redstave letter` as a teacher types it: files, counts, notes, data, and clear refusals."""

import json
from pathlib import Path

import pytest

from redstave.base.errors import InputError
from tests.cli.season_runs import ENTRY, data, run
from tests.test_docs import blocks, fits, shape


@pytest.fixture(scope="module")
def season(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    """A season with one computed entry and one remark; its folder and the entry's code."""
    place = tmp_path_factory.mktemp("letters")
    (place / "two.tiny").write_text(ENTRY, "utf-8")
    run("season", "new", place / "s", "--name", "Spring", "--teacher", "A. Teacher")
    (code,) = data("season", "add", place / "s", place / "two.tiny")["codes"]
    run("season", "compute", place / "s")
    words = ["Too low for the flute.", "--bars", "1", "--main", "--kind", "fix"]
    data("remark", "add", place / "s", code, *words)
    return place / "s", code


def test_files_counts_and_notes_are_printed(season: tuple[Path, str], tmp_path: Path) -> None:
    """Each file on its line, then the counts, then what is still amiss."""
    place, code = season
    lines = run("letter", place, code, "--format", "txt,csv", "--out", tmp_path).stdout.splitlines()
    names = [f"{code}.txt", f"{code}.script.txt", f"{code}.remarks.csv", f"{code}.grades.csv"]
    assert lines[:4] == [str(tmp_path / name) for name in names]
    assert "1 remark: 0 of praise, 1 main, 0 smaller" in lines[4]
    assert "Before you send it: Fewer than 2 strengths are named." in lines[5:]
    assert "Too low for the flute." in (tmp_path / f"{code}.txt").read_text("utf-8")


def test_html_and_pdf_are_the_default(season: tuple[Path, str], tmp_path: Path) -> None:
    """Without --format the page and its PDF are written, with the date that was given."""
    place, code = season
    run("letter", place, code, "--out", tmp_path, "--date", "2 May")
    assert {path.name for path in tmp_path.iterdir()} == {f"{code}.html", f"{code}.pdf"}
    html = (tmp_path / f"{code}.html").read_text("utf-8")
    assert "A. Teacher" in html
    assert "2 May" in html
    assert (tmp_path / f"{code}.pdf").read_bytes().startswith(b"%PDF-")


def test_data_has_the_shape_that_is_documented(
    root: Path, season: tuple[Path, str], tmp_path: Path
) -> None:
    """--json prints one document of the shape shown in docs/letters.md."""
    place, code = season
    real = data("letter", place, code, "--format", "vtt", "--out", tmp_path)
    (shown,) = blocks(root / "docs" / "letters.md", "json")
    assert fits(shape(json.loads(shown)), shape(real))
    assert real["counts"]["main"] == 1
    assert [Path(one["path"]).exists() for one in real["files"]] == [True, True]


def test_a_template_and_a_recording_are_used(season: tuple[Path, str], tmp_path: Path) -> None:
    """--template changes the page, --recording the times."""
    place, code = season
    (tmp_path / "critique.html.j2").write_text("<p>Dear {{ view.entry }}</p>", "utf-8")
    (tmp_path / "bars.csv").write_text("bar,second\n1,100\n2,200\n", "utf-8")
    words = ["--format", "html,vtt", "--template", tmp_path, "--recording", tmp_path / "bars.csv"]
    run("letter", place, code, *words, "--out", tmp_path / "out")
    assert (tmp_path / "out" / f"{code}.html").read_text("utf-8") == f"<p>Dear {code}</p>"
    captions = (tmp_path / "out" / f"{code}.captions.vtt").read_text("utf-8")
    assert "00:01:40.000 --> " in captions


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--format", "docx"], "choose among html, pdf"),
        (["--template", "nowhere"], "there is no folder nowhere"),
        (["--format", "vtt", "--recording", "nowhere.csv"], "nowhere.csv cannot be read"),
        (["--format", "vtt", "--recording", str(Path(__file__))], "expected a bar and a second"),
    ],
)
def test_what_cannot_be_is_told(
    season: tuple[Path, str], tmp_path: Path, words: list[str], said: str
) -> None:
    """Unknown forms, missing templates and tables: one sentence, and nothing is written."""
    place, code = season
    result = run("letter", place, code, *words, "--out", tmp_path / "out")
    assert isinstance(result.exception, InputError)
    assert said in str(result.exception)
    assert not (tmp_path / "out").exists()


def test_an_unknown_entry_is_told(season: tuple[Path, str], tmp_path: Path) -> None:
    """A code name that the season does not have is refused by name."""
    place, _ = season
    result = run("letter", place, "Nobody", "--out", tmp_path)
    assert isinstance(result.exception, InputError)
    assert "Nobody" in str(result.exception)
