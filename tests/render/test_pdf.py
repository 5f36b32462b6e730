"""The PDF: its words and pages as poppler reads them, tagged, whole, and from nowhere else."""

import re
import shutil
import subprocess
import sys
from functools import cache
from pathlib import Path

import pytest

from redstave.base.errors import InputError
from redstave.model.letter import Letter
from redstave.render import pdf
from redstave.render.critique_pictures import Medium
from redstave.render.critique_template import design
from redstave.render.pdf import chromium_pdf, weasyprint_pdf
from tests.render.letters import EMOJI, RTL, bare, hostile, letter, made, many

HEADINGS = ("What works", "What matters most", "Smaller points, bar by bar", "By criterion")
A4 = ("595.276", "841.89")  # points: ISO 216, 210 by 297 mm


def poppler(tool: str, *arguments: str) -> str:
    """Return what a tool of poppler prints; the test is skipped where there is none."""
    if shutil.which(tool) is None:
        pytest.skip(f"{tool} (poppler-utils) is not installed")
    done = subprocess.run([tool, *arguments], capture_output=True, text=True, check=True)
    return done.stdout


def kept(folder: Path, data: bytes) -> str:
    """Write a PDF and return its path."""
    path = folder / "letter.pdf"
    path.write_bytes(data)
    return str(path)


def words(path: str) -> str:
    """Return the words of a PDF, in reading order, in one line."""
    return " ".join(poppler("pdftotext", path, "-").split())


def pages(path: str) -> list[str]:
    """Return the text of each page, as laid out."""
    return poppler("pdftotext", "-layout", path, "-").split("\f")[:-1]


@cache
def pdf_of(one: Letter) -> bytes:
    """Return a letter as PDF."""
    return weasyprint_pdf(made(one).html(Medium.PAPER))


@pytest.fixture(scope="module")
def printed() -> bytes:
    """A letter with a remark of every kind, as PDF."""
    return pdf_of(letter())


def test_it_says_what_the_page_says(printed: bytes, tmp_path: Path) -> None:
    """Every part of the letter is there as text, in order, with its numbers."""
    text = words(kept(tmp_path, printed))
    order = [
        "entry-heron",
        "Thank you for this score.",
        "What works",
        "A clear opening.",
        "What matters most",
        "Or not?",
        "covered, −4 ± 5 dB",
        "It cannot stay so.",
        "Smaller points, bar by bar",
        "By criterion",
        "Altogether 69 of 100",
        "One next step",
        "The whole piece",
        "Sources, and a caution",
    ]
    places = [text.index(one) for one in order]
    assert places == sorted(places)


def test_pages_are_a4_and_numbered(printed: bytes, tmp_path: Path) -> None:
    """Every page is A4, upright or on its side, and says which it is and of how many."""
    path = kept(tmp_path, printed)
    sizes = re.findall(
        r"Page +\d+ size: +([\d.]+) x ([\d.]+)", poppler("pdfinfo", "-l", "99", path)
    )
    shown = pages(path)
    assert len(sizes) == len(shown) > 2
    assert {tuple(sorted(size)) for size in sizes} == {A4}
    assert len(set(sizes)) == 2
    for number, text in enumerate(shown, 1):
        assert f"page {number} of {len(shown)}" in text
        assert "entry-heron" in text


def test_it_is_tagged_and_names_nobody(printed: bytes, tmp_path: Path) -> None:
    """PDF/UA, with a title that is the code name; no author, no date, no other name."""
    path = kept(tmp_path, printed)
    told = dict(re.findall(r"^([\w ]+): +(.+)$", poppler("pdfinfo", path), re.MULTILINE))
    assert told["Tagged"] == "yes"
    assert told["Title"] == "entry-heron"
    assert not {"Author", "Subject", "Keywords", "Creator", "CreationDate"} & told.keys()
    meta = poppler("pdfinfo", "-meta", path)
    assert "pdfuaid:part" in meta
    assert "Quill" not in meta
    tree = poppler("pdfinfo", "-struct-text", path)
    for tag in ("H1", "H2", "H3", "Table", "Figure", "L"):
        assert re.search(rf"^ *{tag}\b", tree, re.MULTILINE), tag


def test_its_fonts_are_in_it(printed: bytes, tmp_path: Path) -> None:
    """Every font is embedded."""
    lines = poppler("pdffonts", kept(tmp_path, printed)).splitlines()[2:]
    assert lines
    assert all(re.search(r"\byes +(?:yes|no) +(?:yes|no) +\d+ +\d+$", line) for line in lines)


def test_the_music_is_drawn(printed: bytes, tmp_path: Path) -> None:
    """An excerpt leaves ink, and the notes in question red ink, on its page."""
    path = kept(tmp_path, printed)
    text = pages(path)
    number = next(at for at, page in enumerate(text, 1) if "Is this meant?" in page)
    poppler("pdftoppm", "-r", "60", "-f", str(number), "-l", str(number), path, f"{path}-page")
    (image,) = tmp_path.glob("*-page*.ppm")
    data = image.read_bytes().split(b"255\n", 1)[1]
    pixels = list(zip(data[::3], data[1::3], data[2::3], strict=True))
    dark = sum(1 for red, green, blue in pixels if max(red, green, blue) < 90)
    reddish = sum(1 for red, green, blue in pixels if red > 130 and green < 100 and blue < 100)
    assert dark > 1000
    assert reddish > 40


@pytest.mark.parametrize("one", [letter(), many(120), hostile()])
def test_no_heading_is_left_alone(one: Letter, tmp_path: Path) -> None:
    """The last words of a page are never a heading or the place of a remark."""
    path = kept(tmp_path, pdf_of(one))
    shown = pages(path)
    assert len(shown) > 4
    for text in shown:
        lines = [line.strip() for line in text.splitlines() if line.strip()]
        last = lines[-2]  # the line above the foot of the page
        assert last not in HEADINGS
        assert not re.fullmatch(r"\d+ +Bar \d.*", last), last


def test_hostile_words_are_printed(tmp_path: Path) -> None:
    """Markup, right-to-left words, emoji and a word of a thousand letters: nothing breaks."""
    path = kept(tmp_path, pdf_of(hostile()))
    text = words(path)
    assert "<script>alert('x')</script>" in text
    assert "but the flute" in text
    assert EMOJI[:6] in text
    assert any("\u0600" < letter_ < "\u06ff" for letter_ in text)
    assert RTL.split()[0] in text or RTL.split()[0][::-1] in text
    assert len(pages(path)) < 60


def test_a_bare_letter_is_printed(tmp_path: Path) -> None:
    """A letter in which nothing is said has its head, the whole piece and the caution."""
    text = words(kept(tmp_path, pdf_of(bare())))
    assert "The ear and the rehearsal decide." in text


def test_the_same_letter_gives_the_same_bytes(printed: bytes) -> None:
    """Nothing of the time or of chance is in a PDF."""
    assert weasyprint_pdf(made(letter()).html(Medium.PAPER)) == printed


@pytest.mark.parametrize("address", ["file:///etc/hostname", "https://example.org/x.png", "x.png"])
def test_nothing_is_fetched(tmp_path: Path, address: str) -> None:
    """A template that asks for a file or an address is refused, and told which."""
    (tmp_path / "critique.html.j2").write_text(
        f'<html><head><title>x</title></head><body><img alt="" src="{address}"></body></html>',
        encoding="utf-8",
    )
    html = made(letter(), design(tmp_path)).html(Medium.PAPER)
    with pytest.raises(InputError, match="must hold all it shows"):
        weasyprint_pdf(html)


def test_missing_libraries_are_told(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where WeasyPrint cannot load its libraries, one sentence says what to install."""

    class Broken:
        """Stands for an importer of a package whose libraries are missing."""

        def find_spec(self, name: str, *_: object) -> None:
            """Fail as loading a missing library does."""
            if name == "weasyprint":
                raise OSError("cannot load library 'libpango-1.0-0'")

    for name in [one for one in sys.modules if one.partition(".")[0] == "weasyprint"]:
        monkeypatch.delitem(sys.modules, name)
    monkeypatch.setattr(sys, "meta_path", [Broken(), *sys.meta_path])
    with pytest.raises(InputError, match=r"libpango-1\.0-0 libpangoft2-1\.0-0"):
        weasyprint_pdf("<p>x</p>")


def test_missing_browser_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where there is no Chromium, one sentence says so."""
    monkeypatch.setattr(shutil, "which", lambda _: None)
    with pytest.raises(InputError, match="no Chromium"):
        chromium_pdf("<p>x</p>")


@pytest.mark.browser
def test_chromium_prints_the_same_words(tmp_path: Path) -> None:
    """The browser's PDF of the page for the screen says what the other says."""
    if not any(map(shutil.which, pdf.BROWSERS)):
        pytest.skip("Chromium is not installed")
    theirs = words(kept(tmp_path, chromium_pdf(made(letter()).html())))
    for one in ("What matters most", "covered, −4 ± 5 dB", "Altogether 69 of 100", "page 1 of"):
        assert one in theirs
