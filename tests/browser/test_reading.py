"""Reading in a browser: drawn, readable, moved through by keys, nothing asked of anybody else."""

import json

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Served

pytestmark = pytest.mark.browser


def opened(page: Page, served: Served, query: str = "") -> None:
    """Open the reading page and wait until its cursor has told what is heard."""
    page.goto(f"{served.root}/entries/{served.code}/reading{query}")
    expect(page.locator("#place")).to_contain_text("·")
    expect(page.locator("#heard")).not_to_be_empty()


def lit(page: Page) -> list[str]:
    """Return our ids of the notes in the light."""
    found = page.locator(".score .lit").evaluate_all("all => all.map(one => one.dataset.n)")
    return sorted(found)


def test_the_music_is_drawn(page: Page, served: Served) -> None:
    """Stave lines have a stroke, note heads a size, levels their font, ribbons their shapes."""
    opened(page, served)
    look = """() => {
      const style = where => getComputedStyle(document.querySelector(where));
      const box = where => document.querySelector(where).getBoundingClientRect();
      return {
        line: style('.score .staff > path').stroke,
        length: box('.score .staff > path').width,
        head: box('.score .notehead use').width,
        stave: document.querySelector('.score').getScreenCTM().a * 720,
        font: document.fonts.check('20px Leipzig', '\\uE520'),
        heard: style('.ribbons .heard').fill,
      };
    }"""
    seen = page.evaluate(look)
    assert seen["line"] != "none"
    assert seen["length"] > 20
    assert seen["head"] > 3
    assert 16 < seen["stave"] < 30  # px: as on a printed study score, or larger
    assert seen["font"]
    assert seen["heard"] != "none"


def test_only_the_desk_is_asked(page: Page, served: Served) -> None:
    """Whatever the page loads comes from the desk itself."""
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    opened(page, served)
    assert len(asked) > 5
    assert [url for url in asked if not url.startswith((served.root, "data:"))] == []


@pytest.mark.parametrize(("width", "height"), [(1280, 800), (820, 1180)])
def test_the_page_never_scrolls_sideways(
    page: Page, served: Served, width: int, height: int
) -> None:
    """On a 13-inch screen and on a tablet the page is as wide as the screen."""
    page.set_viewport_size({"width": width, "height": height})
    opened(page, served)
    assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_all_systems_are_drawn_as_one_reads(page: Page, served: Served) -> None:
    """Going from system to system draws each; the cursor ends in the last bar."""
    opened(page, served)
    systems = page.locator(".system")
    for _ in range(systems.count()):
        page.keyboard.press("]")
    expect(systems.last).to_have_attribute("data-drawn", "")
    expect(systems.last.locator("svg.score")).to_be_visible()
    last = json.loads(str(page.locator("body").get_attribute("data-bars")))
    first_of_last = int(str(systems.last.get_attribute("data-first")))
    expect(page.locator("#place")).to_contain_text(f"Bar {last[first_of_last]}")


def test_the_cursor_tells_what_is_heard(page: Page, served: Served) -> None:
    """Arrow keys go by bar and stave; each place says who plays, the margin and its doubt."""
    opened(page, served)
    page.keyboard.press("ArrowRight")
    expect(page.locator("#place")).to_contain_text("Bar 2 ·")
    before = page.locator("#place").inner_text()
    page.keyboard.press("ArrowDown")
    expect(page.locator("#place")).not_to_have_text(before)
    expect(page.locator("#heard")).to_contain_text("±")
    expect(page.locator("#said")).to_contain_text("Bar 2")
    expect(page.locator(".marks rect.stave")).to_have_count(1)


def test_pointing_tells_too(page: Page, served: Served) -> None:
    """A pointer over a stave tells what is heard there; leaving returns to the cursor."""
    opened(page, served)
    box = page.locator("svg.score").first.bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + box["width"] * 0.9, box["y"] + box["height"] * 0.5)
    expect(page.locator("#place")).not_to_contain_text("Bar 1 ")
    page.mouse.move(5, 5)
    expect(page.locator("#place")).to_contain_text("Bar 1 ")


def test_a_finding_lights_up_its_notes(page: Page, served: Served) -> None:
    """The next finding is chosen, in view, and the notes lit and ringed are the very ones."""
    opened(page, served)
    seen = 0
    for _ in range(12):
        page.keyboard.press("n")
        note = page.locator(".side.current:not(.again)")
        expect(note).to_be_in_viewport()
        if note.evaluate("one => Boolean(one.closest('.whole'))"):
            assert lit(page) == []  # it speaks of every note
            continue
        places = json.loads(str(note.get_attribute("data-places")))
        drawn = page.locator(".score [data-n]").evaluate_all("all => all.map(one => one.dataset.n)")
        wanted = sorted({name for place in places for name in place["notes"]} & set(drawn))
        assert lit(page) == wanted
        assert page.locator(".marks .ring").count() > 0
        seen += bool(wanted)
    assert seen > 0


def test_going_to_a_letter_a_bar_and_a_section(page: Page, served: Served) -> None:
    """The place asked for is where the cursor is, and it is in view."""
    opened(page, served)
    for asked, bar in (("B", 17), ("30", 30), ("letter A", 9)):
        page.keyboard.press("f")
        page.keyboard.type(asked)
        page.keyboard.press("Enter")
        expect(page.locator("#place")).to_contain_text(f"Bar {bar} ")
        expect(page.locator(".marks rect.stave")).to_be_in_viewport()
    page.keyboard.press("f")
    page.keyboard.type("999")
    page.keyboard.press("Enter")
    expect(page.locator("#said")).to_contain_text("There is no bar or letter 999")


def test_what_is_shown_can_be_changed(page: Page, served: Served) -> None:
    """Sounding pitch, large notes and the strings alone keep the place; the strings stay alone."""
    opened(page, served, "?bar=8")
    page.get_by_label("sounding").check()
    page.wait_for_url("**pitch=sounding**")
    page.get_by_label("large").check()
    page.wait_for_url("**notes=large**")
    page.get_by_text("Staves", exact=False).first.click()
    page.get_by_label("Strings").check()
    page.wait_for_url("**families=strings**")
    expect(page.locator("#place")).to_contain_text("Bar 9 ")
    section = page.locator(".system[data-drawn]").first
    geometry = json.loads(str(section.locator("svg.score").get_attribute("data-geometry")))
    page.goto(f"{served.root}/entries/{served.code}/reading?silent=show")
    whole = json.loads(str(page.locator("svg.score").first.get_attribute("data-geometry")))
    strings = [stave[0] for stave in whole["staves"]][-5:]  # the five at the foot of the page
    assert geometry["staves"]
    assert {stave[0] for stave in geometry["staves"]} <= set(strings)


def test_the_bar_can_be_heard(page: Page, served: Served) -> None:
    """Listening says that it is an estimate; the same key stops it."""
    opened(page, served)
    page.keyboard.press("l")
    expect(page.locator("#said")).to_contain_text("an estimate")
    page.keyboard.press("l")


SOUND = """async ([code, bar]) => {
  const script = document.querySelector('script[src*="reading.js"]').src;
  const { listen } = await import(script.replace('reading.js', 'listen.js'));
  let context;
  window.AudioContext = function () {
    context = new OfflineAudioContext(1, 44100 * 8, 44100);
    context.close = () => {};
    return context;
  };
  const sound = await listen(code, bar, bar);
  const heard = (await context.startRendering()).getChannelData(0);
  const after = heard.slice(Math.ceil(44100 * (sound.seconds + 0.5)));
  const most = samples => samples.reduce((top, one) => Math.max(top, Math.abs(one)), 0);
  return { whole: heard.every(Number.isFinite), peak: most(heard), after: most(after) };
}"""


@pytest.mark.parametrize("bar", [0, 36])
def test_the_sound_is_whole(page: Page, served: Served, bar: int) -> None:
    """What is played is a sound, never too loud for the loudspeaker, and ends with the bar."""
    opened(page, served)
    seen = page.evaluate(SOUND, [served.code, bar])
    assert seen["whole"]
    assert 1e-4 < seen["peak"] < 1
    assert seen["after"] < 1e-3


def test_keys_are_shown_and_can_be_switched_off(page: Page, served: Served) -> None:
    """The sheet lists every key; with single letters off they do nothing, and buttons still do."""
    opened(page, served)
    page.keyboard.press("?")
    expect(page.locator("#keys")).to_be_visible()
    rows = page.locator("#keys tr").all_inner_texts()
    assert len(rows) >= 20
    page.get_by_label("Single letters work as keys").uncheck()
    page.keyboard.press("Escape")
    page.keyboard.press("n")
    expect(page.locator(".side.current")).to_have_count(0)
    page.get_by_label("Next finding").click()
    expect(page.locator(".side.current:not(.again)")).to_have_count(1)


def test_figures_are_told_in_a_table(page: Page, served: Served) -> None:
    """One key shows every line of the bar with state, margin and who sounds with it."""
    opened(page, served)
    page.keyboard.press("h")
    expect(page.locator("#heard-title")).to_have_text("Heard in bar 1")
    rows = page.locator("#heard-table tbody tr")
    assert rows.count() >= 2
    text = rows.first.inner_text()
    assert "±" in text
    assert any(state in text for state in ("heard", "doubtful", "covered"))
