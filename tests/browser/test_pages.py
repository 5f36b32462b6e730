"""Season, hearing, origin, trial, grades and letter in a browser: seen, typed into, stopped."""

import re

import pytest
from playwright.sync_api import Dialog, Page, expect

from redstave import store
from redstave.app import seasons
from tests.browser.conftest import DEMO, Complaints, Served
from tests.browser.test_access import faults

pytestmark = pytest.mark.browser
ADDED = re.compile(r"^The file is [A-Z][\w-]+\.$")

#: Each page, and what is there once it has come to rest.
PAGES = {
    "": "#entries",
    "/lessons": ".lessons",
    "hearing": "#strands tr",
    "origin": "#both figure",
    "trial": "#tried tr",
    "grades": ".criterion",
    "letter": "#preview",
    "versions": "#main .lead",
}


def show(page: Page, served: Served, name: str) -> None:
    """Open a page and wait until it rests."""
    path = f"/entries/{served.code}/{name}" if name and name[0] != "/" else name
    page.goto(f"{served.root}{path}")
    expect(page.locator(PAGES[name]).first).to_be_visible(timeout=30_000)
    page.wait_for_load_state("networkidle")


def forget_refusals(complaints: Complaints) -> None:
    """Take out what the browser says of requests that the test itself made wrong."""
    complaints.found = [one for one in complaints.found if "status of 422" not in one]


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("name", PAGES)
def test_every_page_is_accessible(page: Page, served: Served, name: str, scheme: str) -> None:
    """The checker finds nothing, with the sheet of keys open too; only the desk is asked."""
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.emulate_media(color_scheme=scheme)
    show(page, served, name)
    assert faults(page) == []
    if page.get_by_role("button", name="Keys").count():
        page.get_by_role("button", name="Keys").click()
        assert faults(page) == []
    assert [url for url in asked if not url.startswith((served.root, "data:"))] == []


@pytest.mark.parametrize("name", PAGES)
def test_no_page_scrolls_sideways(page: Page, served: Served, name: str) -> None:
    """On a 13-inch screen and on a tablet every page is as wide as the screen."""
    show(page, served, name)
    for width, height in ((1280, 800), (820, 1180)):
        page.set_viewport_size({"width": width, "height": height})
        assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_states_have_shapes_of_their_own(page: Page, served: Served) -> None:
    """Heard, doubtful and covered differ without colour: in height, filling and outline."""
    show(page, served, "hearing")
    look = """() => ['heard', 'doubtful', 'covered'].map(state => {
      const cell = document.querySelector(`.ribbons .cell.${state}`);
      const style = getComputedStyle(cell);
      return [style.fill === 'none' ? 'open' : 'filled', style.stroke === 'none' ? '' : 'outlined',
        Math.round(cell.getBBox().height)].join(' ');
    })"""
    assert len(set(page.evaluate(look))) == 3
    expect(page.locator(".ribbons .hatch").first).to_be_attached()


def test_the_brush_goes_by_keys(page: Page, served: Served) -> None:
    """Arrows, sections, ends, a chosen range; Enter reads at its first bar."""
    show(page, served, "hearing")
    piece, place = page.locator("#piece"), page.locator("#place")
    piece.focus()
    page.keyboard.press("End")
    expect(place).to_have_text("Bar 40")
    page.keyboard.press("PageUp")
    page.keyboard.press("Home")
    page.keyboard.press("PageDown")
    expect(place).to_have_text("Bar 9")
    page.keyboard.press("Shift+ArrowRight")
    page.keyboard.press("Shift+ArrowRight")
    expect(place).to_have_text("Bars 9 to 11")
    page.keyboard.press("ArrowDown")
    assert str(piece.get_attribute("aria-valuetext")).startswith("Bars 9 to 11. Flute 1")
    page.keyboard.press("Enter")
    page.wait_for_url("**/reading?bar=8")


def test_the_brush_goes_by_mouse(page: Page, served: Served) -> None:
    """Dragging chooses bars and leads nowhere; a click reads there."""
    show(page, served, "hearing")
    box = page.locator(".panel .ribbons").first.bounding_box()
    panel = page.locator(".panel").first
    left = float(str(panel.get_attribute("data-left")))
    bar = float(str(panel.get_attribute("data-bar")))
    assert box is not None

    def x(at: int) -> float:
        assert box is not None
        return box["x"] + box["width"] * (left + (at + 0.5) * bar)

    page.mouse.move(x(4), box["y"] + 60)
    page.mouse.down()
    page.mouse.move(x(6), box["y"] + 60)
    page.mouse.up()
    expect(page.locator("#place")).to_have_text("Bars 5 to 7")
    page.mouse.click(x(12), box["y"] + 60)
    page.wait_for_url("**/reading?bar=12")


def test_both_pages_follow_the_brush(page: Page, served: Served) -> None:
    """The piano's bars stand above the entry's, with the notes of the chosen voice ringed."""
    show(page, served, "origin")
    page.locator("#piece").focus()
    page.keyboard.press("End")
    expect(page.locator("#both .piano figcaption")).to_have_text("Piano, bar 40")
    page.locator("#voice").select_option(label="bass")
    expect(page.locator("#both .ring").first).to_be_attached()
    heights = page.locator("#both figure").evaluate_all("all => all.map(one => one.offsetTop)")
    assert heights == sorted(heights)


def test_a_change_is_heard_at_once(page: Page, served: Served, complaints: Complaints) -> None:
    """A level chosen from the list is heard before and after without any button."""
    show(page, served, "trial")
    page.locator(".wish .name").fill("strings")
    page.locator(".wish .what").select_option("level")
    page.locator(".wish .level select").select_option("ppp")
    expect(page.locator("#tried .words")).to_contain_text("Mark the strings ppp")
    expect(page.locator("#tried thead")).to_contain_text("After")
    page.locator(".wish .name").fill("nobody at all")
    expect(page.locator("#trouble")).to_contain_text("Nobody here is called")
    page.locator(".wish .name").fill("strings")
    expect(page.locator("#trouble")).to_be_empty()
    forget_refusals(complaints)


def test_typed_points_and_notes_survive(page: Page, served: Served) -> None:
    """Points are saved as they are typed; a note without points waits as a draft over a reload."""
    show(page, served, "grades")
    first, second = page.locator(".criterion").nth(0), page.locator(".criterion").nth(1)
    first.locator(".points input").fill("7.5")
    expect(first.locator(".band")).to_have_text("sound")
    second.locator("textarea").fill("A thought without points.")
    expect(page.locator("#saved")).to_have_text("Saved")
    page.reload()
    expect(page.locator(".criterion").nth(0).locator(".points input")).to_have_value("7.5")
    expect(second.locator("textarea")).to_have_value("A thought without points.")
    second.locator(".points input").fill("6")
    second.locator("textarea").focus()
    second.locator(".points input").focus()
    expect(second.locator(".band")).to_have_text("sound")
    page.wait_for_timeout(800)
    with seasons.open_season(served.folder) as season:
        notes = [grade.note for grade in store.read_sheet(season, served.code).grades]
    assert notes == ["", "A thought without points."]


def test_two_windows_keep_both_openings(page: Page, served: Served) -> None:
    """A second window that types into the same text is shown both and chooses."""
    show(page, served, "letter")
    other = page.context.new_page()
    show(other, served, "letter")
    other.locator("#text-opening").fill("From the other window.")
    expect(other.locator("#saved")).to_have_text("Saved")
    page.locator("#text-opening").fill("From this window.")
    clash = page.locator(".clash")
    expect(clash).to_contain_text("From the other window.")
    clash.get_by_role("button", name="Join both").click()
    expect(page.locator("#saved")).to_have_text("Saved")
    with seasons.open_season(served.folder) as season:
        text = store.read_draft(season, served.code, "opening").text
    assert text == "From the other window.\n\nFrom this window."
    other.close()


def test_remarks_are_reworded_and_moved_in_the_letter(page: Page, served: Served) -> None:
    """Words, weight and order change where they stand, and in the letter beside."""
    with seasons.open_season(served.folder) as season:
        score = seasons.score_of(season, served.code)
        for text in ("First of all.", "Then this."):
            seasons.own_remark(season, served.code, score, text, "praise", bars="1-2")  # type: ignore[arg-type]
    show(page, served, "letter")
    letter = page.frame_locator("#preview")
    page.locator('.remark [data-what="text"]').nth(1).fill("Then that.")
    page.locator('.remark [data-what="text"]').nth(1).press("Control+Enter")
    expect(letter.locator("#remark-2")).to_contain_text("Then that.")
    page.locator('.remark [data-act="up"]').nth(1).click()
    expect(page.locator('.remark [data-what="text"]').first).to_have_value("Then that.")
    expect(letter.locator("#remark-1")).to_contain_text("Then that.")
    page.locator('.remark [data-act="back"]').first.click()
    expect(page.locator(".remark")).to_have_count(1)
    expect(letter.locator("#letter")).not_to_contain_text("Then that.")


def test_computing_goes_on_after_a_restart(page: Page, served: Served) -> None:
    """Stopped with the desk, an entry waits and is begun again on request."""
    page.goto(served.root)
    page.locator("#files").set_input_files(DEMO / "orchestra.musicxml")
    expect(page.locator("#came li")).to_have_text(ADDED)
    page.goto("about:blank")  # so that the stop cuts off no question of the page's
    served.stop()
    served.start()
    page.goto(served.root)
    expect(page.locator(".entries tbody tr")).to_have_count(2)
    page.get_by_role("button", name="Compute it").click()
    expect(page.locator(".entries a.code")).to_have_count(2, timeout=90_000)


def test_a_dropped_file_is_taken(page: Page, served: Served) -> None:
    """A file dropped anywhere on the page is added; while it hovers the page says so."""
    page.goto(served.root)
    data = (DEMO / "flint.tiny").read_text("utf-8")
    dropped = page.evaluate_handle(
        """text => {
          const held = new DataTransfer();
          held.items.add(new File([text], 'Wilhelmina-Quick.tiny'));
          return held;
        }""",
        data,
    )
    page.dispatch_event("main", "dragenter", {"dataTransfer": dropped})
    expect(page.locator("#add")).to_have_class("drop over")
    page.dispatch_event("main", "drop", {"dataTransfer": dropped})
    expect(page.locator("#came li")).to_have_text(ADDED)
    assert "Quick" not in page.content()


def test_leaving_while_files_are_sent_is_asked_about(page: Page, served: Served) -> None:
    """Files that were not sent yet are not left behind without a word."""
    page.goto(served.root)
    page.locator("h1").click()  # a browser asks nobody who has not touched the page
    served.pause_s = 3.0
    page.locator("#files").set_input_files([DEMO / "flint.tiny", DEMO / "larch.tiny"])
    expect(page.locator("#came li")).to_have_text("File 1 of 2 is being read …")
    asked: list[str] = []

    def stay(dialog: Dialog) -> None:
        asked.append(dialog.type)
        dialog.dismiss()

    page.on("dialog", stay)
    page.evaluate("location.assign('/season/lessons')")
    page.wait_for_function("() => document.querySelectorAll('#came li').length === 2")
    assert asked == ["beforeunload"]
    expect(page.locator("#came li").last).to_have_text(
        re.compile(r"^File 2 of 2 is [A-Z][\w-]+\.$")
    )


def test_a_file_that_is_no_score_is_told(
    page: Page, served: Served, complaints: Complaints
) -> None:
    """What cannot be read is told in a sentence beside its number, without its name."""
    page.goto(served.root)
    names = [("Wilhelmina-Quick.xml", b"<a/>"), ("Other.xml", b"")]
    files = [{"name": name, "mimeType": "text/xml", "buffer": data} for name, data in names]
    page.locator("#files").set_input_files(files)  # type: ignore[arg-type]
    told = page.locator("#came li.wrong")
    expect(told).to_have_count(2)
    expect(told.first).to_contain_text("File 1 of 2 was not added: ")
    assert "Quick" not in page.content()
    forget_refusals(complaints)


def test_the_seal_is_broken_by_two_steps(page: Page, served: Served) -> None:
    """The names open only after one has said that reading is finished."""
    page.goto(served.root)
    expect(page.get_by_role("button", name="Open the names")).to_be_disabled()
    assert "sorrel" not in page.content()
    page.get_by_label("I have finished reading").check()
    page.get_by_role("button", name="Open the names").click()
    expect(page.locator(".entries .name")).to_have_text("sorrel.tiny")


def test_a_hard_place_is_seen_under_the_piano(page: Page, served: Served) -> None:
    """The same bars as the piano has them and as an entry has made them, and away again."""
    with seasons.open_season(served.folder) as season:
        seasons.add_files(season, [DEMO / "flint.tiny"])
        seasons.compute(season)
    show(page, served, "/lessons")
    place = page.locator(".placed details").first
    place.locator("summary").click()
    button = place.get_by_role("button", name="under the piano").first
    button.click()
    expect(place.locator(".pages figure")).to_have_count(2, timeout=30_000)
    expect(place.locator(".pages figcaption").first).to_contain_text("Piano, bar")
    button.click()
    expect(place.locator(".pages figure")).to_have_count(0)
    assert faults(page) == []
