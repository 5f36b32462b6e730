"""A whole review, from adding the file to the PDF of the letter: by mouse, and by keys alone."""

import re
from pathlib import Path

import pytest
from playwright.sync_api import Locator, Page, expect

from redstave.app import seasons
from tests.browser.conftest import DEMO, Served

pytestmark = pytest.mark.browser
ENTRY = DEMO / "orchestra.musicxml"
PATIENCE_MS = 90_000  # for computing an entry beside everything else that runs
MOST_TABS = 250


@pytest.fixture
def season_page(page: Page, served: Served) -> Page:
    """The season with one entry, open."""
    page.goto(served.root)
    expect(page.get_by_role("heading", level=1)).to_be_visible()
    return page


def new_code(page: Page, served: Served) -> str:
    """Wait until the added entry is computed; return its code name."""
    came = page.locator("#came li")
    expect(came).to_have_text(re.compile(r"The file is [A-Z][\w-]+\.$"), timeout=PATIENCE_MS)
    code = came.inner_text().removeprefix("The file is ").rstrip(".")
    link = page.locator(f'a.code[href="/entries/{code}/reading"]')
    expect(link).to_be_visible(timeout=PATIENCE_MS)
    expect(page.locator("#computing progress")).to_have_count(0, timeout=PATIENCE_MS)
    assert code != served.code
    return code


def tab_to(page: Page, target: Locator, back: bool = False) -> None:
    """Press Tab until an element has the focus: it can be reached by keys."""
    for _ in range(MOST_TABS):
        if target.evaluate("one => one === document.activeElement"):
            return
        page.keyboard.press("Shift+Tab" if back else "Tab")
    here = page.evaluate("document.activeElement.outerHTML.slice(0, 120)")
    raise AssertionError(f"{target} cannot be reached by keys; the focus is at {here}")


def page_of_entry(page: Page, name: str) -> Locator:
    """Return the link to another page of the entry."""
    return page.get_by_role("navigation", name="This entry").get_by_role("link", name=name)


def ready(page: Page, key: str) -> None:
    """Wait until the page listens to keys: one of its own stands in the sheet of keys."""
    expect(page.locator("#keys tbody")).to_contain_text(key)


def saved(page: Page) -> None:
    """Wait until what was typed is on disk."""
    expect(page.locator("#saved")).to_have_text("Saved")


def test_by_mouse(season_page: Page, served: Served, tmp_path: Path) -> None:
    """Dropped, computed, read, heard, tried, graded, locked, written, taken out, sent."""
    page = season_page
    page.locator("#files").set_input_files(ENTRY)
    code = new_code(page, served)

    # reading: one finding is accepted, one dismissed
    page.locator(f'a.code[href="/entries/{code}/reading"]').click()
    expect(page.locator("#heard")).not_to_be_empty()
    page.locator(".side.finding h3:visible").first.click()
    page.locator('.side.current [data-act="accept"]').click()
    expect(page.locator(".side.hand").first).to_be_visible()
    page.locator('.side.finding[data-decision="open"] h3:visible').first.click()
    page.locator('.side.current [data-act="dismiss"]').click()
    page.locator(".side textarea").fill("Meant so.")
    page.locator(".side textarea").press("Control+Enter")
    expect(page.locator(".side.dismissed")).to_have_count(1)

    # hearing: the brush tells, a click reads there
    page_of_entry(page, "Hearing").click()
    picture = page.locator(".panel .ribbons").first
    box = picture.bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + box["width"] * 0.5, box["y"] + 80)
    expect(page.locator("#place")).to_contain_text("Bar ")
    expect(page.locator("#strands")).to_contain_text("strand by strand")
    expect(page.locator(".buried li").first).to_contain_text("Flute 1")
    page.get_by_role("link", name="Find the smallest change that helps").first.click()

    # trial: a way out is taken and becomes a remark
    page.locator(".take").first.click()
    expect(page.locator("#tried table.both")).to_be_visible()
    expect(page.locator("#sum")).to_contain_text("Surer to be heard: Flute 1")
    page.locator("#text").fill("Let the strings make room here.")
    page.get_by_role("button", name="Make the remark").click()
    expect(page.locator("#made")).to_contain_text("It is in the letter now: bars 14–16")

    # grades: every criterion, then the lock
    page_of_entry(page, "Grades").click()
    ready(page, "Next criterion")
    for reach in page.locator(".criterion .bands li:nth-child(2) .reach").all():
        reach.click()
    expect(page.locator("#total")).to_contain_text("of 100")
    expect(page.locator("#missing")).to_be_empty()
    page.get_by_role("button", name="Lock the grades").click()
    expect(page.locator("#locked")).to_be_visible()

    # letter: the opening is typed and stands in the letter itself
    page_of_entry(page, "Letter").click()
    page.locator("#text-opening").fill("Thank you for your patience with the flute.")
    saved(page)
    letter = page.frame_locator("#preview")
    expect(letter.locator("#letter")).to_contain_text("patience with the flute")
    expect(letter.locator("#letter")).to_contain_text("Let the strings make room here.")
    expect(letter.locator("svg.margins")).to_be_visible()
    with page.expect_download() as taken:
        page.get_by_role("link", name="Letter, PDF").click()
    assert taken.value.suggested_filename == f"{code}.pdf"
    taken.value.save_as(tmp_path / "letter.pdf")
    assert (tmp_path / "letter.pdf").read_bytes().startswith(b"%PDF-")
    page.locator('.choice label:has([value="sent"])').click()
    expect(page.locator("#saved")).to_have_text("The letter is sent")
    page.get_by_role("link", name="Season").click()
    row = page.locator("tr", has=page.locator(f'a.code[href="/entries/{code}/reading"]'))
    expect(row).to_contain_text("sent")
    expect(row).to_contain_text("locked")


def test_by_keys_alone(season_page: Page, served: Served, tmp_path: Path) -> None:
    """The same way without ever touching the mouse."""
    page = season_page
    keys = page.keyboard
    page.on("filechooser", lambda _: None)  # asked for well before the key that opens it
    tab_to(page, page.locator("#files"))
    with page.expect_file_chooser() as chooser:
        keys.press("Space")
    chooser.value.set_files(ENTRY)
    code = new_code(page, served)
    tab_to(page, page.locator(f'a.code[href="/entries/{code}/reading"]'), back=True)
    keys.press("Enter")

    # reading: next finding, accept, next, dismiss
    expect(page.locator("#place")).to_contain_text("·")
    ready(page, "Accept the finding")
    keys.press("n")
    expect(page.locator(".side.current")).to_be_visible()
    keys.press("a")
    expect(page.locator(".side.hand").first).to_be_visible()
    keys.press("n")
    keys.press("d")
    keys.type("Meant so.")
    keys.press("Control+Enter")
    expect(page.locator(".side.dismissed")).to_have_count(1)

    # hearing: by bars, to the covered tune, and from there to a trial
    tab_to(page, page_of_entry(page, "Hearing"), back=True)
    keys.press("Enter")
    piece = page.locator("#piece")
    ready(page, "Next place where the tune is covered")
    tab_to(page, piece)
    keys.press("ArrowRight")
    expect(piece).to_have_attribute("aria-valuenow", "1")
    keys.press("n")
    expect(page.locator("#place")).to_have_text("Bar 14")
    keys.press("t")

    # trial: the smallest change, taken, written as a remark
    expect(page.locator("#tried table")).to_be_visible()
    expect(page.locator("#bars")).to_have_value("14-16")
    ready(page, "Smallest change that helps")
    keys.press("s")
    expect(page.locator(".take").first).to_be_visible(timeout=PATIENCE_MS)
    tab_to(page, page.locator(".take").first)
    keys.press("Enter")
    expect(page.locator("#tried table.both")).to_be_visible()
    tab_to(page, page.locator("#text"))
    keys.type("Let the strings make room here.")
    keys.press("Control+Enter")
    expect(page.locator("#made")).to_contain_text("It is in the letter now")

    # grades: points, Enter, points, …
    tab_to(page, page_of_entry(page, "Grades"), back=True)
    keys.press("Enter")
    fields = page.locator(".points input")
    ready(page, "Next criterion")
    tab_to(page, fields.first)
    for _ in range(fields.count()):
        keys.type("7")
        keys.press("Enter")
    expect(page.locator("#missing")).to_be_empty()
    expect(page.locator("#total")).to_contain_text("of 100")
    tab_to(page, page.get_by_role("button", name="Lock the grades"))
    keys.press("Enter")
    expect(page.locator("#locked")).to_be_visible()

    # letter: typed, taken out, sent
    tab_to(page, page_of_entry(page, "Letter"))
    keys.press("Enter")
    expect(page.locator("#text-opening")).to_be_visible()
    ready(page, "Write the opening")
    keys.press("o")
    keys.type("Thank you for your patience with the flute.")
    saved(page)
    letter = page.frame_locator("#preview")
    expect(letter.locator("#letter")).to_contain_text("patience with the flute")
    tab_to(page, page.get_by_role("link", name="Letter, PDF"))
    with page.expect_download() as taken:
        keys.press("Enter")
    taken.value.save_as(tmp_path / "letter.pdf")
    assert (tmp_path / "letter.pdf").read_bytes().startswith(b"%PDF-")
    tab_to(page, page.locator('[name="state"]:checked'))
    keys.press("ArrowRight")
    keys.press("ArrowRight")
    expect(page.locator("#saved")).to_have_text("The letter is sent")
    with seasons.open_season(served.folder) as season:
        done = {one["code"]: one for one in seasons.season_json(season)["entries"]}[code]  # type: ignore[attr-defined]
    assert (done["state"], done["locked"], done["remarks"]) == ("sent", True, 2)
