"""The teacher's word in a browser: said by keyboard, followed by the page, taken back."""

import pytest
from playwright.sync_api import Page, expect

from redstave.app import seasons, teachers_word
from redstave.app.word_use import Saying
from redstave.model.match import Choice, Pin, VoiceOverride
from redstave.model.role import Role
from redstave.model.teacher import NOTHING_SAID, TeachersWord
from tests.browser.conftest import Complaints, Served
from tests.browser.test_access import faults

pytestmark = pytest.mark.browser

ROWS = "#your-word .said li"


def show(page: Page, served: Served, query: str = "") -> None:
    """Open the page of the origin and wait until it rests."""
    page.goto(f"{served.root}/entries/{served.code}/origin{query}")
    expect(page.locator("#both figure").first).to_be_visible()
    page.wait_for_load_state("networkidle")


def kept(served: Served) -> TeachersWord:
    """Return what is kept in the season."""
    with seasons.open_season(served.folder) as season:
        return teachers_word.told(season, served.code).word


def test_a_bar_is_pinned_by_keyboard(page: Page, served: Served) -> None:
    """Choose bars, y, type, Enter: kept, in the list, and both pages stand as was said."""
    show(page, served)
    page.locator("#piece").focus()
    for key in ("Home", "ArrowRight", "ArrowRight", "Shift+ArrowRight"):
        page.keyboard.press(key)
    expect(page.locator("#word-bars")).to_have_text("bars 3–4")
    page.keyboard.press("y")
    expect(page.locator('#your-word input[name="piano"]').first).to_be_focused()
    expect(page.locator('#your-word input[name="piano"]').first).to_have_value("3-4")
    page.keyboard.press("Control+a")
    page.keyboard.type("7-8")
    page.keyboard.press("Enter")
    expect(page.locator(ROWS)).to_have_text(["Bars 3–4 come from the piano’s bars 7–8 Take back"])
    expect(page.locator("#word-title")).to_be_focused()
    expect(page.locator("#said")).to_have_text("Kept. The page follows your word.")
    expect(page.locator("#place")).to_have_text("Bars 3 to 4")
    expect(page.locator("#both .piano figcaption")).to_have_text("Piano, bars 7–8")
    assert kept(served).pins == (Pin(2, 6), Pin(3, 7))


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_everything_said_is_shown_and_taken_back(page: Page, served: Served, scheme: str) -> None:
    """A hand, a line, a section: each becomes a row with its way back; nothing is out of reach."""
    page.emulate_media(color_scheme=scheme)
    show(page, served, "?bar=16&last=19")
    form = page.locator('form[data-kind="voices"]')
    form.locator('[name="stave"]').select_option("left hand")
    form.get_by_role("button", name="Say so").click()
    expect(page.locator(ROWS)).to_have_count(1)
    form = page.locator('form[data-kind="roles"]')
    form.locator('[name="line"]').select_option("Violoncello")
    form.get_by_role("button", name="Say so").click()
    expect(page.locator(ROWS)).to_have_count(2)
    found = page.locator("#sections-title + .wide tbody tr").count()
    page.get_by_role("button", name="A section begins at bar 17").click()
    expect(page.locator("#your-word")).to_contain_text("Sections begin only where you say.")
    assert page.locator("#sections-title + .wide tbody tr").count() >= found
    expect(page.locator("#both figure").first).to_be_visible()
    assert faults(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= 1280
    word = kept(served)
    assert word.voices == (VoiceOverride(16, 19, 2, Choice.HIGHEST, "tune"),)
    assert [(one.first, one.last, one.role) for one in word.roles] == [(16, 19, Role.TUNE)]
    assert 16 in word.cuts
    while page.locator(ROWS).count():
        left = page.locator(ROWS).count() - 1
        page.locator(".takeback").first.click()
        expect(page.locator(ROWS)).to_have_count(left)
    assert kept(served) == NOTHING_SAID


def test_what_cannot_be_is_told_beside_the_form(
    page: Page, served: Served, complaints: Complaints
) -> None:
    """A bar that is not there, and a word that somebody else has said meanwhile."""
    show(page, served)
    piano = page.locator('form[data-kind="pins"] input')
    piano.fill("99")
    piano.press("Enter")
    expect(page.locator("#word-trouble")).to_contain_text("no bar 99 in the piano piece")
    with seasons.open_season(served.folder) as season:
        teachers_word.say(season, served.code, Saying(cuts="9"))
    piano.fill("1-2")
    piano.press("Enter")
    expect(page.locator("#word-trouble")).to_contain_text("nothing was overwritten")
    page.get_by_role("button", name="Show what stands now").click()
    expect(page.locator(ROWS)).to_have_text(["A section begins at bar 9 Take back"])
    complaints.found = [one for one in complaints.found if "status of 422" not in one]


def test_the_findings_are_computed_anew(page: Page, served: Served) -> None:
    """After a word the page offers to compute; then the review holds it and nothing waits."""
    show(page, served)
    page.get_by_role("button", name="A section begins at bar 1").click()
    page.get_by_role("button", name="Compute them anew").click()
    expect(page.locator("#said")).to_have_text("The findings were computed anew.", timeout=90_000)
    expect(page.locator("#anew")).to_have_count(0)
    with seasons.open_season(served.folder) as season:
        assert seasons.review_of(season, served.code).provenance.cuts == kept(served).cuts
