"""Letters of a season's entries, written in every form: whole files, blind, and nothing else."""

import csv
import io
from collections.abc import Iterator
from pathlib import Path

import pytest

from redstave.app import letters, seasons
from redstave.app.alignment import read_alignment
from redstave.app.letters import FORMS, Wishes, parse_forms, write_letters
from redstave.base.errors import InputError
from redstave.model.remark import finding_key
from redstave.model.season import SeasonFacts
from redstave.reading import read_bytes
from redstave.render import pdf
from redstave.render.clock import Heard
from tests.render.quay import QUAY, quay

MAKER = "Ingeborg Maria Tannenzapf"
ENDINGS = (
    ".html", ".pdf", ".musicxml", ".captions.vtt", ".chapters.vtt", ".remarks.csv", ".grades.csv",
    ".txt", ".script.txt",
)  # fmt: skip


@pytest.fixture(scope="module")
def season(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[seasons.Season, str]]:
    """A season with one computed entry, a remark and a grade."""
    folder = tmp_path_factory.mktemp("season")
    named = quay().replace(
        b"<part-list>",
        f"<identification><creator type='arranger'>{MAKER}</creator></identification>"
        "<part-list>".encode(),
        1,
    )
    entry = folder / f"{MAKER}.musicxml"
    entry.write_bytes(named)
    facts = SeasonFacts("Quay season", "M. Quill")
    with seasons.new_season(folder / "kept", facts=facts) as kept:
        (code,) = seasons.add_files(kept, [entry]).codes
        seasons.compute(kept)
        review, score = seasons.review_of(kept, code), seasons.score_of(kept, code)
        seasons.accept(kept, code, finding_key(review.faults[0]), review, score)
        seasons.save_draft(kept, code, "opening", "Thank you.", 0)
        yield kept, code


def test_every_form_is_written(season: tuple[seasons.Season, str], tmp_path: Path) -> None:
    """All forms in one go: the files named by the code, each whole, nothing beside them."""
    kept, code = season
    written = write_letters(kept, code, tmp_path / "out", Wishes(tuple(FORMS), date="today"))
    names = {path.name for path in (tmp_path / "out").iterdir()}
    assert names == {f"{code}{ending}" for ending in ENDINGS}
    assert {path for _, path in written.files} == set((tmp_path / "out").iterdir())
    for _, path in written.files:
        data = path.read_bytes()
        assert data
        assert MAKER.encode() not in data, path.name
    assert b"today" in (tmp_path / "out" / f"{code}.html").read_bytes()
    assert written.counts.remarks == 1
    assert any("strengths" in note for note in written.notes)


def test_blind_pdf_and_score_name_nobody(
    season: tuple[seasons.Season, str], tmp_path: Path
) -> None:
    """The maker's name is in no metadata of the marked score, read by our own reader."""
    kept, code = season
    write_letters(kept, code, tmp_path, Wishes(("musicxml",)))
    score = read_bytes((tmp_path / f"{code}.musicxml").read_bytes(), "x.musicxml")
    assert MAKER not in repr(score)


def test_a_form_that_fails_leaves_nothing(
    season: tuple[seasons.Season, str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where the PDF cannot be made the other forms are not written either."""
    kept, code = season

    def broken(_: str) -> bytes:
        raise InputError("no library")

    monkeypatch.setattr(letters, "weasyprint_pdf", broken)
    with pytest.raises(InputError, match="no library"):
        write_letters(kept, code, tmp_path / "out", Wishes(("csv", "html", "pdf")))
    assert not (tmp_path / "out").exists()
    assert pdf.weasyprint_pdf is not broken


def test_an_older_letter_stays_when_writing_fails(
    season: tuple[seasons.Season, str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A full disc in the middle of a file leaves the older file whole and no part of the new."""
    kept, code = season
    write_letters(kept, code, tmp_path, Wishes(("txt",)))
    before = (tmp_path / f"{code}.txt").read_bytes()

    def full(path: Path, data: bytes) -> int:
        with path.open("wb") as file:
            file.write(data[:10])
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "write_bytes", full)
    with pytest.raises(InputError, match="No space left on device"):
        write_letters(kept, code, tmp_path, Wishes(("txt",), date="later"))
    assert (tmp_path / f"{code}.txt").read_bytes() == before
    assert {path.name for path in tmp_path.iterdir()} == {f"{code}.txt", f"{code}.script.txt"}


def test_forms_are_parsed() -> None:
    """A list with commas, in any case, each once; an unknown or missing form is told."""
    assert parse_forms("HTML, pdf,html") == ("html", "pdf")
    for wrong in ("docx", "", "html,docx"):
        with pytest.raises(InputError, match="choose among html, pdf, musicxml"):
            parse_forms(wrong)


def test_an_entry_that_was_not_computed_is_told(tmp_path: Path) -> None:
    """Without a review there is no letter, and one sentence says what to do."""
    file = tmp_path / "one.tiny"
    file.write_text(QUAY, encoding="utf-8")
    with seasons.new_season(tmp_path / "kept") as kept:
        (code,) = seasons.add_files(kept, [file]).codes
        with pytest.raises(InputError, match="season compute"):
            write_letters(kept, code, tmp_path, Wishes(("txt",)))


def test_grades_without_points_are_a_table_of_criteria(
    season: tuple[seasons.Season, str], tmp_path: Path
) -> None:
    """Criteria without a grade are rows without points."""
    kept, code = season
    write_letters(kept, code, tmp_path, Wishes(("csv",)))
    rows = list(csv.DictReader(io.StringIO((tmp_path / f"{code}.grades.csv").read_text("utf-8"))))
    assert rows
    assert {row["points"] for row in rows} == {""}


# A recording laid against the score


def test_a_recording_is_read(tmp_path: Path) -> None:
    """Bars as printed, seconds as numbers or minutes and seconds; the heading is optional."""
    score = read_bytes(quay(), "quay.musicxml")
    table = tmp_path / "bars.csv"
    for text in (
        "bar,second\n1,0.5\n3,1:02.5\n",
        "\ufeff1, 0.5\r\n\r\n3,62.5\r\n",
        "bar;second\r\n1;0,5\r\n3;1:02,5\r\n",  # as spreadsheets of half of Europe write it
    ):
        table.write_text(text, encoding="utf-8")
        assert read_alignment(table, score) == (Heard(0, 0.5), Heard(2, 62.5))


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("1,0\n99,4\n", "line 2: the score has no bar 99"),
        ("1,0\n2,soon\n", 'line 2: "soon" is no time'),
        ("1,-3\n", 'line 1: "-3" is no time'),
        ("1,nan\n", 'line 1: "nan" is no time'),
        ("1\n", "line 1: expected a bar and a second"),
        ("1,5\n2,5\n", "bar 2 at 5 s does not come after"),
        ("3,1\n2,5\n", "bar 2 at 5 s does not come after"),
        ("bar,second\n", "names no bar"),
    ],
)
def test_a_wrong_table_is_told_with_its_line(tmp_path: Path, text: str, said: str) -> None:
    """What cannot be laid against the score is refused in one sentence."""
    table = tmp_path / "bars.csv"
    table.write_text(text, encoding="utf-8")
    with pytest.raises(InputError) as caught:
        read_alignment(table, read_bytes(quay(), "quay.musicxml"))
    assert said in str(caught.value)
    assert "bars.csv" in str(caught.value)
