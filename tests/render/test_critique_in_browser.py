"""The finished letter in a browser: accessible in light and dark, on wide and narrow screens."""

from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from redstave.model.letter import Letter
from tests.render.letters import bare, hostile, letter, made, many

pytestmark = pytest.mark.browser


@cache
def html_of(one: Callable[[], Letter]) -> str:
    """Return a letter as its page."""
    return made(one()).html()


def shown(
    browser: Any,
    one: Callable[[], Letter],
    folder: Path,
    width: int = 1280,
    scheme: str = "light",
) -> Any:
    """Open a letter and return its page; whatever it asks for outside itself fails the test."""
    file = folder / "letter.html"
    file.write_text(html_of(one), encoding="utf-8")
    context = browser.new_context(
        viewport={"width": width, "height": 900}, color_scheme=scheme, bypass_csp=True
    )
    page = context.new_page()
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(file.as_uri())
    assert [url for url in asked if not url.startswith("data:")] == [file.as_uri()]
    return page


@pytest.mark.parametrize(
    ("one", "width", "scheme"),
    [
        (letter, 1280, "light"),
        (letter, 1280, "dark"),
        (letter, 390, "dark"),
        (hostile, 390, "light"),
    ],
)
def test_nothing_bars_anybody(
    browser: Any, tmp_path: Path, one: Any, width: int, scheme: str
) -> None:
    """The accessibility checker axe finds no violation, in light and dark, wide and narrow."""
    axe = pytest.importorskip("axe_playwright_python.sync_playwright").Axe()
    page = shown(browser, one, tmp_path, width, scheme)
    found = axe.run(page).response
    assert len(found["passes"]) > 15
    assert [(one["id"], one["nodes"][0]["html"]) for one in found["violations"]] == []
    page.context.close()


@pytest.mark.parametrize("width", [1280, 390])
@pytest.mark.parametrize("one", [letter, hostile, many, bare])
def test_the_page_never_scrolls_sideways(
    browser: Any, tmp_path: Path, one: Any, width: int
) -> None:
    """However long a word is, only pictures scroll, by themselves."""
    page = shown(browser, one, tmp_path, width)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    page.context.close()


def test_numbers_and_their_remarks_stand_apart(browser: Any, tmp_path: Path) -> None:
    """No number box lies over the words beside it, in the points and in the list."""
    page = shown(browser, letter, tmp_path)
    over = page.evaluate(
        """() => [...document.querySelectorAll('.point, .small li')].filter(one => {
             const box = one.querySelector('.box').getBoundingClientRect();
             const words = one.querySelector('h3, .at').getBoundingClientRect();
             return box.right > words.left;
           }).length"""
    )
    assert over == 0
    page.context.close()
