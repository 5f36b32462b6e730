"""The pages of the documentation that are made from the program."""

import re
from pathlib import Path

import pytest

from redstave.base.citation import Quantity
from redstave.checks import catalogue
from redstave.checks.registry import HEADINGS
from redstave.instruments import load
from redstave.instruments.book import cited_file
from redstave.instruments.lexicon import lexicon
from redstave.render.wording import wordings
from tools import docs_pictures
from tools.examples import path_of
from tools.make_pages import differences, main, write
from tools.pages import pages
from tools.pages.markdown import leaves

PAGES = pages()


def test_committed_pages_are_those_the_program_makes() -> None:
    """What is committed is what would be made now; if not, `make pages` writes it anew."""
    assert differences() == []


def test_every_check_has_its_page_with_its_examples() -> None:
    """A page has all headings, the words, every setting with its default, and both scores."""
    for slug, check in catalogue().items():
        page = PAGES[f"checks/{slug}.md"]
        assert [heading for heading in HEADINGS if f"\n## {heading}\n" not in page] == []
        asked = wordings()[slug].question
        assert re.sub(r"\{(?:parts|notes):([^|}]+)\|[^}]+\}", r"\1", asked) in page
        for setting in check.settings:
            assert f"| `{setting.name}` | {setting.default:g} | {setting.unit} |" in page
        for kind in ("good", "bad"):
            score = path_of(slug, kind).read_text("utf-8")
            assert score.strip() in page
        assert f"({slug}.md)" in PAGES["checks/index.md"]


def test_every_number_of_every_instrument_is_shown() -> None:
    """An instrument's section has one row with a source for each number of its file."""
    for id_ in load():
        family = load()[id_].family
        section = PAGES[f"instruments/{family}.md"].split(f'<a id="{id_}"></a>')[1].split("<a ")[0]
        numbers = [item for _, item in leaves(cited_file(f"{id_}.toml"))]
        cited = [item for item in numbers if isinstance(item, Quantity)]
        assert section.count("../sources/instruments.md#") == len(cited)
        for item in cited:
            assert (
                f"[{item.source}](../sources/instruments.md#{item.source}) | {item.flag} |"
                in section
            )


def test_every_source_that_is_used_is_listed() -> None:
    """Each link to a source leads to a heading of the page it names."""
    for name, page in PAGES.items():
        for target, key in re.findall(r"\]\(\.\./(sources/[a-z]+\.md)#([^)]+)\)", page):
            assert f"\n## {key}\n" in PAGES[target], (name, key)


def test_pages_are_written_and_compared(tmp_path: Path) -> None:
    """A missing, a changed and a left-over page are each named, and mended by writing."""
    assert set(write(tmp_path)) == set(PAGES)
    assert differences(tmp_path) == []
    (tmp_path / "checks" / "index.md").write_text("by hand", encoding="utf-8")
    (tmp_path / "sources" / "left-over.md").write_text("old", encoding="utf-8")
    (tmp_path / "instruments" / "brass.md").unlink()
    named = ["checks/index.md", "instruments/brass.md", "sources/left-over.md"]
    assert differences(tmp_path) == named
    assert write(tmp_path) == named
    assert differences(tmp_path) == []


def test_check_fails_on_a_stale_page(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The command names the page and exits with a status other than 0."""
    monkeypatch.setattr("tools.make_pages.differences", lambda: ["checks/index.md"])
    with pytest.raises(SystemExit):
        main(["check"])
    assert "docs/checks/index.md" in capsys.readouterr().out


def test_pictures_are_set_where_a_page_asks_for_them() -> None:
    """The mark becomes an engraved figure with the words of the check; other pages stay."""
    plain = "<p>Nothing to see.</p>"
    assert docs_pictures.on_page_content(plain) == plain
    mark = "<!-- picture: tune-covered/bad -->"
    page = docs_pictures.on_page_content(f"{plain}{mark}")
    assert mark not in page
    assert '<svg class="score"' in page
    assert 'class="ring"' in page
    assert "the tune in Flute" in page


def test_the_pages_of_words_hold_the_whole_vocabulary() -> None:
    """Every word of the players' vocabulary is on the page, and every instrument has its row."""
    words = PAGES["words/index.md"]
    for phrase in ("con sord", "cresc", "gli altri", "poco a poco", "meno p"):
        assert phrase in words
    names = PAGES["words/names.md"]
    for instrument in load():
        if instrument in lexicon().families:
            assert f"| {instrument.replace('-', ' ')} |" in names
