"""The reading page: systems, ribbons, margin, and words that stay words."""

import re
from html.parser import HTMLParser

import pytest

from tests.web.client import Client
from tests.web.conftest import EVIL


class Outline(HTMLParser):
    """Collects every element with its attributes."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Keep one element."""
        self.elements.append((tag, dict(attrs)))

    handle_startendtag = handle_starttag


@pytest.fixture
def page(client: Client, code: str) -> str:
    """Return the reading page."""
    answer = client.get(f"/entries/{code}/reading")
    assert answer.status_code == 200
    return answer.text


def test_the_page_shows_notes_ribbons_and_findings(page: str) -> None:
    """Notes carry our ids, every stave that plays has a ribbon, findings stand beside."""
    assert 'data-n="P1.0.0"' in page
    assert 'class="cell ' in page
    assert "data-finding=" in page
    assert "data-geometry=" in page


def test_a_stranger_s_markup_is_text(page: str) -> None:
    """Hostile title, names, words and lyrics appear as text: no element, no handler of theirs."""
    assert "alert(1)" in page
    assert EVIL not in page
    for tag, attributes in Outline(page).elements:
        assert not [name for name in attributes if name.startswith("on")], tag
        if tag == "script":
            assert str(attributes.get("src", "")).startswith("/still/")
        if tag == "img":
            pytest.fail("an element of the score's words")


def test_nothing_is_inline(page: str, client: Client, code: str) -> None:
    """No inline script, no style element, no style attribute: the policy would block them."""
    system = client.get(f"/entries/{code}/systems/0").text
    for text in (page, system):
        for tag, attributes in Outline(text).elements:
            assert tag != "style"
            assert "style" not in attributes, (tag, attributes)
    scripts = re.findall(r"<script[^>]*>(.*?)</script>", page, re.DOTALL)
    assert set(scripts) == {""}


def test_a_system_comes_as_a_fragment(client: Client, code: str) -> None:
    """One system is asked for by its number; one that is not there is told."""
    answer = client.get(f"/entries/{code}/systems/0")
    assert answer.status_code == 200
    assert "<html" not in answer.text
    assert client.get(f"/entries/{code}/systems/99").status_code == 404


@pytest.mark.parametrize(
    "query", ["pitch=loud", "notes=..%2f", "families=kazoo", "bar=-1", "pitch=" + "x" * 50]
)
def test_a_layout_that_means_nothing_is_refused(client: Client, code: str, query: str) -> None:
    """Words of an address that the desk does not know are refused, not guessed."""
    assert client.get(f"/entries/{code}/reading?{query}").status_code == 422


def test_the_margin_speaks_of_what_is_shown(client: Client, code: str) -> None:
    """With one family alone, findings that concern others only are left out."""
    whole = client.get(f"/entries/{code}/reading").text
    brass = client.get(f"/entries/{code}/reading?families=brass").text
    both = [set(re.findall(r'data-finding="([0-9a-f]+)"', text)) for text in (whole, brass)]
    assert both[1] < both[0]


def test_layouts_are_shown(client: Client, code: str) -> None:
    """Sounding pitch, large notes and one family alone are other drawings of the same notes."""
    brass = client.get(f"/entries/{code}/systems/0?families=brass").text
    assert 'data-n="P2.0.0"' in brass
    assert 'data-n="P1.0.0"' not in brass
    assert client.get(f"/entries/{code}/reading?pitch=sounding&notes=large").status_code == 200


def test_what_is_heard_is_told_in_words(client: Client, code: str) -> None:
    """The flute under the trombone: a state, a margin with its uncertainty, and who covers it."""
    rows = client.get(f"/entries/{code}/heard/0/0").json()
    assert [row["part"] for row in rows] == ["P1", "P2", "P3"]
    flute = rows[0]["lines"][0]
    assert flute["state"] in ("covered", "doubtful")
    assert flute["sd_db"] > 0
    assert "Trombone" in flute["words"]
    assert "±" in flute["words"]


def test_what_is_drawn_is_what_is_told(client: Client, code: str) -> None:
    """The ribbon of a stave has the state that the words give for its lines."""
    rows = client.get(f"/entries/{code}/heard/0/3").json()
    told = {line["state"] for row in rows for line in row["lines"]}
    drawn = set(re.findall(r'class="cell (\w+)"', client.get(f"/entries/{code}/systems/0").text))
    assert drawn == told


@pytest.mark.parametrize("bars", ["3/1", "0/4", "0/99", "-1/0", "a/b", "0/100001"])
def test_bars_that_are_not_there_are_refused(client: Client, code: str, bars: str) -> None:
    """A range that the score does not have is told in a sentence."""
    answer = client.get(f"/entries/{code}/heard/{bars}")
    assert answer.status_code == 422
    assert answer.json()["error"]


def test_tones_can_be_played(client: Client, code: str) -> None:
    """The tones of a bar: within the bar's time, with partials, none above the loudest moment."""
    sound = client.get(f"/entries/{code}/tones/0/0").json()
    assert sound["seconds"] == pytest.approx(2.5)  # four quarters at 96 a minute
    assert len(sound["tones"]) == 4 + 1 + 4
    for tone in sound["tones"]:
        assert 0 <= tone["start"] < tone["stop"] <= sound["seconds"]
        assert tone["partials"]
        assert max(db for _, db in tone["partials"]) <= sound["reference_db"] + 3
    flute = next(tone for tone in sound["tones"] if tone["line"] == 0)
    assert flute["partials"]
    assert min(hz for hz, _ in flute["partials"]) == pytest.approx(130.8, abs=0.1)  # C3


def test_the_fragment_of_a_failure_says_so(desk, client: Client, code: str) -> None:
    """A system that the engraver cannot set is a sentence, and the page is still there."""
    from redstave.render.systems import Picture

    desk.painter.picture = lambda *_: Picture(0, 3, failure="this passage could not be engraved")
    answer = client.get(f"/entries/{code}/reading")
    assert answer.status_code == 200
    assert "could not be engraved" in answer.text
