"""Writing at the desk: by keyboard alone, kept at every keystroke, never overwritten silently."""

import sqlite3
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager

import pytest
from playwright.sync_api import Browser, Page, Route, expect

from redstave import store
from redstave.app import seasons
from redstave.web.guard import Access
from tests.browser.conftest import Complaints, Served
from tests.browser.test_reading import opened

pytestmark = pytest.mark.browser
PATIENCE_S = 30.0


def remarks(served: Served) -> list[str]:
    """Return the remarks on disk, as another program reads them."""
    with seasons.open_season(served.folder) as season:
        return [one.remark.text for one in seasons.read_remarks(season, served.code)]


def draft(served: Served, field: str) -> str:
    """Return a text on disk, as another program reads it."""
    with closing(sqlite3.connect(f"file:{served.folder}/season.sqlite?mode=ro", uri=True)) as disk:
        query = "SELECT text FROM draft JOIN entry ON entry.id = entry_id WHERE code=? AND field=?"
        found = disk.execute(query, (served.code, field)).fetchone()
    return str(found[0]) if found else ""


def on_disk(served: Served, field: str, text: str) -> None:
    """Wait until a text is on disk."""
    start = time.monotonic()
    while (found := draft(served, field)) != text:
        assert time.monotonic() - start < PATIENCE_S, found
        time.sleep(0.05)


@contextmanager
def not_ready(page: Page, address: str) -> Iterator[None]:
    """Open a page and hold back a script that it needs until the block is done."""
    held: list[Route] = []

    def hold(route: Route) -> None:
        held.append(route)

    with page.expect_request("**/keep.js"):
        page.route("**/keep.js", hold, times=1)
        page.goto(address, wait_until="commit")
    yield
    for route in held:
        route.continue_()


def field_of(page: Page, what: str) -> str:
    """Return the name under which the text of the current note is kept."""
    key = page.locator(".side.current:not(.again)").get_attribute("data-finding")
    return f"{what}:{key}"


def test_a_finding_is_accepted_reworded_and_taken_back(page: Page, served: Served) -> None:
    """By keys alone: accept, reword, make it a main point, take it back."""
    opened(page, served)
    page.keyboard.press("n")
    page.keyboard.press("a")
    note = page.locator(".side.hand.current")
    expect(note).to_contain_text("Your")
    assert len(remarks(served)) == 1
    page.keyboard.press("r")
    page.keyboard.press("Control+A")
    page.keyboard.type("In my own words.")
    page.keyboard.press("Control+Enter")
    expect(note.locator(".says")).to_have_text("In my own words.")
    expect(note.locator("textarea")).to_have_count(0)
    assert remarks(served) == ["In my own words."]
    page.keyboard.press("i")
    expect(note).to_contain_text("main point")
    page.keyboard.press("u")
    expect(page.locator(".side.finding.current:not(.again)")).to_have_count(1)
    assert remarks(served) == []


def test_a_desk_that_answers_late_takes_no_selection_away(page: Page, served: Served) -> None:
    """All is selected before the desk has answered, and typed over after: nothing of it is left."""
    opened(page, served)
    page.keyboard.press("n")
    field = field_of(page, "finding")
    served.pause_s = 1.0
    with page.expect_response("**/drafts/**"):
        page.keyboard.press("r")
        page.keyboard.press("Control+A")
    page.keyboard.type("My own")
    on_disk(served, field, "My own")
    page.reload()
    area = page.locator(".side textarea")
    area.press("Control+A")
    expect(area).to_have_value("My own")
    page.keyboard.type("New")
    on_disk(served, field, "New")


def test_a_fast_teacher_is_not_called_back(page: Page, served: Served) -> None:
    """Accept, next, accept, next, typed without waiting: each hits the note it was meant for."""
    opened(page, served)
    page.keyboard.press("n")
    for key in "anan":
        page.keyboard.press(key)
    expect(page.locator(".side.hand:not(.again)")).to_have_count(2)
    expect(page.locator(".side.finding.current:not(.again)")).to_have_count(1)
    assert len(remarks(served)) == 2


def test_findings_are_joined_into_one_remark(page: Page, served: Served) -> None:
    """By keys: the first is accepted, the next joins it; taken out it is open again."""
    opened(page, served)
    page.keyboard.press("n")
    page.keyboard.press("j")
    expect(page.locator("#saved")).to_contain_text("Accept or choose the remark first")
    page.keyboard.press("a")
    expect(page.locator(".side.hand.current")).to_contain_text("Your")
    page.keyboard.press("n")
    finding = page.locator(".side.finding.current:not(.again)")
    name = finding.get_attribute("data-name")
    page.keyboard.press("j")
    expect(page.locator("#saved")).to_have_text("Joined to your remark")
    remark = page.locator(".side.hand.current:not(.again)")
    expect(remark.locator(".joined")).to_contain_text("Joined:")
    expect(page.locator(f'.side.finding[data-name="{name}"]')).to_have_count(0)
    assert len(remarks(served)) == 1
    remark.get_by_role("button", name="Take out").click()
    expect(page.locator(f'.side.finding[data-name="{name}"]:not(.again)')).to_have_count(1)
    expect(page.locator(".joined")).to_have_count(0)


def test_a_finding_is_dismissed_with_a_reason(page: Page, served: Served) -> None:
    """The reason stands in the margin; undo brings the finding back as it was."""
    opened(page, served)
    page.keyboard.press("n")
    name = page.locator(".side.current:not(.again)").get_attribute("data-name")
    page.keyboard.press("d")
    page.keyboard.type("meant that way")
    page.keyboard.press("Enter")
    note = page.locator(f'.side.dismissed[data-name="{name}"]:not(.again)')
    expect(note).to_contain_text("meant that way")
    page.keyboard.press("u")
    expect(
        page.locator(f'.side.finding[data-name="{name}"]:not(.dismissed, .again)')
    ).to_have_count(1)


def test_an_own_remark_and_praise_stand_where_the_cursor_is(page: Page, served: Served) -> None:
    """A remark and a praise are written at the bar and stave of the cursor."""
    opened(page, served, "?bar=3")
    for key, words in (("w", "The oboe could carry this."), ("g", "A fine colour.")):
        page.keyboard.press(key)
        page.keyboard.type(words)
        page.keyboard.press("Control+Enter")
        expect(page.locator(".side.hand.current .says")).to_have_text(words)
        page.keyboard.press("Escape")
    with seasons.open_season(served.folder) as season:
        kept = [one.remark for one in seasons.read_remarks(season, served.code)]
    assert [(str(one.kind), one.spots[0].bar) for one in kept] == [("way-out", 3), ("praise", 3)]


def test_typing_is_on_disk_within_a_second_and_survives_a_reload(
    page: Page, served: Served
) -> None:
    """Half a sentence is on disk before a second is over; after a reload it stands open again."""
    opened(page, served)
    page.keyboard.press("n")
    field = field_of(page, "finding")
    page.keyboard.press("r")
    page.keyboard.press("Control+A")
    page.keyboard.type("Half a sent")
    on_disk(served, field, "Half a sent")
    page.reload()
    area = page.locator(".side textarea")
    expect(area).to_have_value("Half a sent")
    expect(area).to_be_visible()
    assert remarks(served) == []


def test_a_crash_loses_nothing_that_was_typed(browser: Browser, page: Page, served: Served) -> None:
    """A page that goes away without a word has its text on disk, and another browser shows it."""
    opened(page, served, "?bar=2")
    page.keyboard.press("w")
    page.keyboard.type("Before the power failed")
    expect(page.locator("#saved")).to_have_text("Saved")
    page.context.close()
    other = browser.new_context().new_page()
    other.goto(f"{served.root}/entries/{served.code}/reading")
    expect(other.locator(".side.hand textarea")).to_have_value("Before the power failed")
    other.context.close()


def test_a_text_is_put_off_or_dropped(page: Page, served: Served) -> None:
    """Escape leaves a text open and on disk; dropped, the season still has it."""
    opened(page, served, "?bar=2")
    page.keyboard.press("w")
    page.keyboard.type("Not yet sure of this.")
    page.keyboard.press("Escape")
    expect(page.locator("#cursor")).to_be_focused()
    area = page.locator(".side.hand textarea")
    expect(area).to_have_value("Not yet sure of this.")
    expect(page.locator("#saved")).to_have_text("Saved")
    page.get_by_role("button", name="Drop").click()
    expect(area).to_have_count(0)
    with seasons.open_season(served.folder) as season:
        (kept,) = store.read_drafts(season, served.code)
        earlier = store.earlier_drafts(season, served.code, kept.field)
    assert kept.text == ""
    assert "Not yet sure of this." in [one.text for one in earlier]
    assert remarks(served) == []


def test_two_tabs_never_overwrite_each_other(page: Page, served: Served) -> None:
    """The tab that comes second is shown both texts; whatever is chosen, both are on disk."""
    opened(page, served)
    page.keyboard.press("n")
    field = field_of(page, "finding")
    second = page.context.new_page()
    opened(second, served)
    page.keyboard.press("r")
    page.locator(".side textarea").fill("First tab.")
    on_disk(served, field, "First tab.")
    second.keyboard.press("n")
    second.keyboard.press("r")
    expect(second.locator(".side textarea")).to_have_value("First tab.")
    page.locator(".side textarea").fill("First tab, more.")
    on_disk(served, field, "First tab, more.")
    second.locator(".side textarea").fill("Second tab.")
    clash = second.locator(".clash")
    expect(clash).to_contain_text("First tab, more.")
    assert draft(served, field) == "First tab, more."
    clash.get_by_role("button", name="Join both").click()
    on_disk(served, field, "First tab, more.\n\nSecond tab.")
    with seasons.open_season(served.folder) as season:
        aside = [one.text for one in seasons.texts_set_aside(season, served.code)]
    assert "Second tab." in aside


def test_the_desk_may_stop_and_start_while_one_types(
    page: Page, served: Served, complaints: Complaints
) -> None:
    """What is typed while the desk is away is kept in the browser and saved when it is back."""
    opened(page, served)
    page.keyboard.press("n")
    field = field_of(page, "finding")
    page.keyboard.press("r")
    page.locator(".side textarea").fill("While it was there.")
    on_disk(served, field, "While it was there.")
    served.stop()
    page.locator(".side textarea").fill("While it was away.")
    expect(page.locator("#saved")).to_contain_text("kept in this browser")
    served.access = Access()  # a new start has a new token
    served.start()
    on_disk(served, field, "While it was away.")
    expect(page.locator("#saved")).to_have_text("Saved")
    complaints.found.clear()  # the browser complained that nobody answered: that was the test


def test_a_guest_can_write_nothing(browser: Browser, served: Served) -> None:
    """A guest's page has no button that changes anything, and its keys say why."""
    served.stop()
    served.access = Access(teacher="teacher-key", guest="guest-key")
    served.start()
    page = browser.new_context().new_page()
    page.goto(f"{served.root}/entries/{served.code}/reading?key=guest-key")
    expect(page.locator(".guest")).to_be_visible()
    expect(page.locator("#heard")).not_to_be_empty()
    page.keyboard.press("n")
    page.keyboard.press("a")
    expect(page.locator("#saved")).to_contain_text("A guest may look")
    expect(page.locator("[data-act]")).to_have_count(0)
    page.context.close()


@pytest.mark.parametrize(
    ("where", "field", "box"),
    [("letter", "opening", "#text-opening"), ("grades", "grade:fidelity", ".note textarea")],
)
def test_what_is_typed_before_the_page_is_ready_is_kept(
    page: Page, served: Served, where: str, field: str, box: str
) -> None:
    """A fast typist on a slow machine: the scripts come after the first words."""
    first = page.locator(box).first
    with not_ready(page, f"{served.root}/entries/{served.code}/{where}"):
        first.fill("Before anything was ready.")
    if where == "grades":
        field = str(first.get_attribute("data-field"))
    on_disk(served, field, "Before anything was ready.")
    expect(page.locator("#saved")).to_have_text("Saved")
    page.reload()
    expect(page.locator(box).first).to_have_value("Before anything was ready.")


def test_a_letter_is_not_overwritten_by_what_was_typed_early(page: Page, served: Served) -> None:
    """What another window saved since the page was made is shown, and the teacher chooses."""
    with not_ready(page, f"{served.root}/entries/{served.code}/letter"):
        page.locator("#text-opening").fill("Typed early.")
        with seasons.open_season(served.folder) as season:
            store.save_draft(season, served.code, "opening", "Saved elsewhere.", 0)
    clash = page.locator(".clash")
    expect(clash).to_contain_text("Saved elsewhere.")
    assert draft(served, "opening") == "Saved elsewhere."
    clash.get_by_role("button", name="Keep mine").click()
    on_disk(served, "opening", "Typed early.")


def test_two_windows_choose_between_two_grades(page: Page, served: Served) -> None:
    """The window that comes second is shown what the first has given, and settles it there."""
    other = page.context.new_page()
    for one in (page, other):
        one.goto(f"{served.root}/entries/{served.code}/grades")
    other.locator(".points input").first.fill("5")
    expect(other.locator("#saved")).to_have_text("Saved")
    page.locator(".points input").first.fill("7")
    clash = page.locator(".clash")
    expect(clash).to_contain_text("Another tab has given here since")
    clash.get_by_role("button", name="Keep mine").click()
    expect(page.locator("#saved")).to_have_text("Saved")
    with seasons.open_season(served.folder) as season:
        assert [one.points for one in store.read_sheet(season, served.code).grades] == [7.0]
    other.locator(".points input").first.fill("6")
    other.locator(".clash").get_by_role("button", name="Take that one").click()
    expect(other.locator(".points input").first).to_have_value("7")
