"""The pages held against the accessibility checker axe (WCAG 2.2 A and AA), in every state."""

from typing import Any, Literal

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

from tests.browser.conftest import Served
from tests.browser.test_reading import opened

pytestmark = pytest.mark.browser
#: What is inside a drawing is a picture with a name of its own, and thousands of shapes.
ALL_BUT_SHAPES = {"exclude": [["svg.score > g"], ["svg.glyphs"]]}
RULES = {
    "runOnly": {
        "type": "tag",
        "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
    }
}


#: In the dark nothing but the colours is different.
COLOURS = {"runOnly": {"type": "rule", "values": ["color-contrast"]}}


def faults(page: Page, rules: dict[str, Any] = RULES) -> list[str]:
    """Return what axe finds wrong, with the first element concerned."""
    found = Axe().run(page, context=ALL_BUT_SHAPES, options=rules).response["violations"]
    return [f"{one['id']}: {one['nodes'][0]['html'][:160]}" for one in found]


#: What is done before each look, and what then stands open.
STATES = (
    ("the page as it opens", ()),
    ("a finding chosen", ("n",)),
    ("a finding accepted", ("a",)),
    ("a remark being reworded", ("r",)),
    ("an own remark being written", ("Escape", "w")),
    ("the sheet of keys", ("Escape", "?")),
    ("what is heard, in a table", ("Escape", "h")),
)


@pytest.mark.parametrize(("scheme", "rules"), [("light", RULES), ("dark", COLOURS)])
def test_reading_is_accessible(
    page: Page, served: Served, scheme: Literal["light", "dark"], rules: dict[str, Any]
) -> None:
    """In every state, on paper and in the dark, the checker finds nothing."""
    page.emulate_media(color_scheme=scheme)
    opened(page, served)
    for state, keys in STATES:
        for key in keys:
            page.keyboard.press(key)
        page.wait_for_timeout(250)
        assert faults(page, rules) == [], state


def test_a_fault_would_be_seen(page: Page, served: Served) -> None:
    """The checker does find a fault that is put into the page."""
    opened(page, served)
    page.evaluate("document.querySelector('#goto').labels[0].remove()")
    page.evaluate("document.querySelector('#goto').removeAttribute('placeholder')")
    assert [fault for fault in faults(page) if "#" in fault or "label" in fault]
