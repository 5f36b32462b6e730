"""The letter as a browser shows it: drawn, red where it should be, and silent on the network."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page as Tab
from playwright.sync_api import sync_playwright

from redstave.render.letter import letter
from tests.render.quay import quay_page
from tests.render.views import review

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def told() -> list[str]:
    """Return what the browser asked for and complained about."""
    return []


@pytest.fixture(scope="module")
def tab(tmp_path_factory: pytest.TempPathFactory, told: list[str]) -> Iterator[Tab]:
    """Open a letter in Chromium; the tests are skipped where there is none."""
    chromium = shutil.which("chromium") or shutil.which("chromium-browser")
    if chromium is None:
        pytest.skip("Chromium is not installed")
    file: Path = tmp_path_factory.mktemp("letter") / "letter.html"
    file.write_text(letter(review(), quay_page()), encoding="utf-8")
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=chromium, args=["--no-sandbox"])
        page = browser.new_page(viewport={"width": 1280, "height": 900})
        page.on("request", lambda request: told.append(request.url))
        page.on("console", lambda message: told.append(message.text))
        page.goto(file.as_uri())
        yield page
        browser.close()


def test_nothing_is_asked_for(tab: Tab, told: list[str]) -> None:
    """One request, for the letter itself (the font travels in it); no complaint on the console."""
    others = [url for url in told if not url.startswith("data:")]
    assert others == [tab.url]


def test_the_music_is_drawn(tab: Tab) -> None:
    """Stave lines have a stroke, note heads a size, and a note in question is red."""
    look = """
        selector => {
          const shape = document.querySelector(selector);
          const style = getComputedStyle(shape), box = shape.getBoundingClientRect();
          return [style.stroke, style.fill, box.width, box.height];
        }
    """
    stroke, _, width, _ = tab.evaluate(look, ".score .staff > path")
    assert stroke != "none"
    assert width > 20
    _, _, head_width, head_height = tab.evaluate(look, ".score .notehead use")
    assert head_width > 3
    assert head_height > 3
    red = tab.evaluate("getComputedStyle(document.querySelector('.score .ring')).stroke")
    _, fill, _, _ = tab.evaluate(look, ".score .asked use")
    assert fill == red != stroke


def test_levels_are_set_in_the_music_font(tab: Tab) -> None:
    """The font inside the page is loaded and used: the levels are no empty boxes."""
    assert tab.evaluate("document.fonts.load('20px Leipzig', '\\uE520').then(f => f.length)") == 1


def test_nothing_runs_off_a_13_inch_screen(tab: Tab) -> None:
    """At 1280 px, and on a telephone, the page itself never scrolls sideways."""
    for width in (1280, 390):
        tab.set_viewport_size({"width": width, "height": 900})
        assert tab.evaluate("document.documentElement.scrollWidth") <= width
