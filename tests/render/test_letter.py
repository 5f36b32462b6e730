"""The letter: well-formed, self-contained, safe, in order, and the same every time."""

import re
from collections import Counter
from html.parser import HTMLParser

import pytest

from redstave.analysis import Analysis
from redstave.app import choose
from redstave.app import review as review_entry
from redstave.reading import read_bytes
from redstave.render.letter import letter, letter_html
from redstave.render.open_questions import open_questions
from redstave.render.page_xml import page
from tests.render.quay import ATTRIBUTES, quay, quay_page, score_of, whole_note
from tests.render.views import review, score

# HTML Living Standard, section 13.1.2: elements that have no end tag.
VOID = frozenset(
    "area base br col embed hr img input link meta source track wbr".split()  # noqa: SIM905
)


class Reader(HTMLParser):
    """Reads a page strictly: every element is closed in order, no attribute given twice."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.tags: Counter[str] = Counter()
        self.ids: list[str] = []
        self.attributes: list[tuple[str, str, str]] = []
        self.headings: list[int] = []
        self.words: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Open an element."""
        self.handle_startendtag(tag, attrs)
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note an element."""
        names = [name for name, _ in attrs]
        assert len(names) == len(set(names)), (tag, names)
        self.tags[tag] += 1
        self.attributes += [(tag, name, value or "") for name, value in attrs]
        self.ids += [value or "" for name, value in attrs if name == "id"]
        if re.fullmatch(r"h[1-6]", tag):
            self.headings.append(int(tag[1]))

    def handle_endtag(self, tag: str) -> None:
        """Close an element."""
        assert self.open, f"</{tag}> closes nothing"
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        """Note text."""
        if "style" not in self.open:
            self.words.append(data)

    @property
    def text(self) -> str:
        """All words outside the style sheet."""
        return " ".join(" ".join(self.words).split())


def read(html: str) -> Reader:
    """Read a page to its end."""
    reader = Reader()
    reader.feed(html)
    reader.close()
    assert not reader.open
    return reader


@pytest.fixture(scope="module")
def html() -> str:
    """A letter with remarks of every claim."""
    return letter(review(), quay_page())


def test_the_letter_is_well_formed(html: str) -> None:
    """Every element is closed in order, and no id stands twice."""
    found = read(html)
    assert html.startswith("<!DOCTYPE html>")
    assert [one for one, count in Counter(found.ids).items() if count > 1] == []


def test_every_reference_has_its_target(html: str) -> None:
    """Links, labels and glyphs inside the page lead somewhere."""
    found = read(html)
    for tag, name, value in found.attributes:
        if name == "href":
            assert value.startswith("#"), (tag, value)
        targets = value.split() if name == "aria-labelledby" else []
        targets += [value[1:]] if name == "href" else []
        for target in targets:
            assert target in found.ids, (tag, name, value)


def test_the_letter_is_self_contained(html: str) -> None:
    """Nothing runs and nothing is fetched: no script, no handler, no address but namespaces."""
    found = read(html)
    forbidden = {"script", "iframe", "object", "embed", "img", "link", "image", "form", "base"}
    assert not forbidden & found.tags.keys()
    assert not [name for _, name, _ in found.attributes if name.startswith("on")]
    outside = re.sub(r"url\(data:[^)]*\)", "", html)
    assert not re.search(r"https?:|//[a-z]|javascript:|@import", outside, re.IGNORECASE)
    assert set(re.findall(r"url\((.)", outside)) <= {"#"}
    assert "default-src 'none'" in html


def test_the_letter_can_be_navigated(html: str) -> None:
    """There are landmarks, one title, headings without gaps, and every picture has words."""
    found = read(html)
    assert found.tags["h1"] == found.tags["main"] == found.tags["header"] == 1
    assert found.tags["nav"] == found.tags["footer"] == 1
    assert all(
        after - before <= 1
        for before, after in zip(found.headings, found.headings[1:], strict=False)
    )
    labels = {
        value for tag, name, value in found.attributes if (tag, name) == ("svg", "aria-label")
    }
    assert labels
    assert all(label.strip() for label in labels)
    hidden = sum(1 for tag, name, _ in found.attributes if (tag, name) == ("svg", "aria-hidden"))
    labelled = sum(1 for tag, name, _ in found.attributes if (tag, name) == ("svg", "role"))
    within = html.count('<div class="number" aria-hidden="true"><svg')
    assert hidden + labelled + within == found.tags["svg"]
    assert ("html", "lang", "en-GB") in found.attributes


def test_what_works_comes_first_and_the_rest_by_claim(html: str) -> None:
    """Credits, impossible, risks, questions, the piece, what is missing, the file, the caution."""
    text = read(html).text
    order = [
        "What works",
        "Impossible as written These",
        "Risks A limit",
        "Questions Nobody",
        "The whole piece",
        "What was not assessed, and why",
        "What the file left open",
        "The ear and the rehearsal decide.",
    ]
    places = [text.index(words) for words in order]
    assert places == sorted(places)


def test_every_remark_has_its_anchor(html: str) -> None:
    """Each remark can be linked to, whether it is shown in full or listed."""
    ids = read(html).ids
    for number in range(1, 9):
        assert f"remark-{number}" in ids
    assert "credit-1" in ids


def test_a_remark_says_all_that_it_should(html: str) -> None:
    """Place, what is seen, evidence with unit and limit, why, way out, question, source."""
    text = read(html).text
    for words in (
        "bars 1–4",
        "the tune in Violin I is likely" if "in Violin I is" in text else "is likely to be covered",
        "margin above masked threshold −4.2 dB 0 dB",
        "entries 1",
        "Why it matters",
        "A way out",
        "Should the listener follow",
        "Common practice",
        "Looked for and not found: notes that need the same string.",
        "A hairpin has no end. (P1, bar 2 and P1, bar 4)",
        "Blue Heron",
        "25 November 2026",
        "14.12.10.8.6",
    ):
        assert words in text, words


def test_the_letter_is_the_same_every_time(html: str) -> None:
    """The same values give the same bytes."""
    assert letter(review(), quay_page()) == html


def test_hostile_names_stay_names() -> None:
    """Titles and names that look like markup are shown as they are and do nothing."""
    evil = '"><script>alert(1)</script><img src=x onerror=alert(2)>'
    escaped = evil.replace("&", "&amp;").replace("<", "&lt;").replace('"', "&quot;")
    listing = f'<score-part id="P1"><part-name>{escaped}</part-name></score-part>'
    bars = f"<measure number='1'>{ATTRIBUTES}{whole_note()}</measure>" + "<measure/>" * 5
    named = score(6, (evil, evil, evil, evil), evil)
    found = read(letter(review(evil, named), page(score_of(bars, listing))))
    assert found.tags["script"] == found.tags["img"] == 0
    assert not [name for _, name, _ in found.attributes if name.startswith("on")]
    assert found.text.count("alert(1)") > 3


def test_a_passage_that_cannot_be_engraved_does_not_stop_the_letter() -> None:
    """The letter says so in place of the picture and goes on."""
    zero = ATTRIBUTES.replace("<beats>4", "<beats>0").replace("type>4", "type>0")
    deadly = page(score_of(f"<measure>{zero}{whole_note()}</measure>" + "<measure/>" * 5))
    assert "This passage could not be engraved" in read(letter(review(), deadly)).text


def test_a_letter_from_a_real_review() -> None:
    """From the bytes of a file to the letter: what the checks found is in it, every time alike."""
    data = quay()
    analysis = Analysis(read_bytes(data, "quay.musicxml"))
    done = review_entry(analysis, "quay", choose())
    html = letter_html(done, analysis, data, "today")
    found = read(html)
    assert "Morning on the Quay" in found.text
    assert done.findings
    assert open_questions(analysis)
    assert "And the page, for its players" in found.text
    for number in range(1, len(done.faults) + 1):
        assert f"remark-{number}" in found.ids
    again = Analysis(read_bytes(data, "quay.musicxml"))
    assert letter_html(review_entry(again, "quay", choose()), again, data, "today") == html
