"""Excerpts: every note arrives, the notes in question are ringed, hostile words stay words."""

import re
from pathlib import Path

import pytest
from lxml import etree

from redstave.base.errors import InputError
from redstave.reading import xml_of
from redstave.render.excerpt import LONGEST, WIDEST_PX, Excerpt, ExcerptRequest, excerpts
from redstave.render.page_xml import Page, page
from tests.render.quay import ATTRIBUTES, quay_page, score_of, whole_note

# Bars without a single element in them have no place on a page; the engraver leaves them out.
EMPTY_BARS = {"41h-TooManyParts.xml", "51a-Header-Credits.xml", "51b-Header-Quotes.xml"} | {
    "51d-EmptyTitle.xml"
}
TABLATURE = {"71e-TabStaves.xml"}  # the engraver drops a note of a tablature stave


def names(excerpt: Excerpt) -> set[str]:
    """Return all of our ids in an excerpt."""
    return set(re.findall(r'data-n="([^"]+)"', excerpt.svg))


def notes(source: Page, shown: Excerpt, parts: tuple[str, ...]) -> set[str]:
    """Return the ids of the notes that the page has in the bars shown."""
    return {
        str(note.get("id"))
        for part in source.parts
        if part.id in parts
        for bar in part.bars[shown.first : shown.last + 1]
        for note in bar.iterchildren("note")
    }


def test_every_excerpt_keeps_every_note() -> None:
    """Ids of notes, rests, graces, chord members survive in all excerpts of one to four bars."""
    source = quay_page()
    every = tuple(part.id for part in source.parts)
    requests = [
        ExcerptRequest(first, last, parts)
        for first in range(source.bar_count)
        for last in range(first, min(first + 4, source.bar_count))
        for parts in [*((part,) for part in every), every]
    ]
    for request, shown in zip(requests, excerpts(source, requests), strict=True):
        assert notes(source, shown, request.parts) <= names(shown), request
        outside = names(shown) - notes(source, shown, request.parts)
        bars = range(shown.first, shown.last + 1)
        assert outside <= {f"{part}.{bar}" for part in every for bar in bars}, request


@pytest.mark.corpus
def test_foreign_notes_survive_too(scores: Path) -> None:
    """The same for the first bars of every file of the unofficial MusicXML test suite."""
    for file in sorted((scores / "suite").iterdir()):
        if file.suffix not in (".xml", ".mxl") or file.name in EMPTY_BARS | TABLATURE:
            continue
        try:
            source = page(xml_of(file.read_bytes(), file.name)[0])
        except InputError:
            continue
        parts = tuple(part.id for part in source.parts)
        (shown,) = excerpts(source, [ExcerptRequest(0, 2, parts)])
        assert shown.svg, f"{file.name}: {shown.remark}"
        assert notes(source, shown, parts) <= names(shown), file.name


def test_an_excerpt_is_flat_and_names_nothing_twice() -> None:
    """One svg element, no style, no ids, glyphs by reference: fit for a page with many of them."""
    (shown,) = excerpts(quay_page(), [ExcerptRequest(0, 3, ("P1", "P3"), ("P1.0.0",))])
    tree = etree.fromstring(shown.svg)
    tags = [etree.QName(element).localname for element in tree.iter()]
    assert tags.count("svg") == 1
    assert not {"style", "script", "title", "desc", "defs", "image"} & set(tags)
    assert " id=" not in shown.svg
    used = {str(use.get("href")).removeprefix("#g") for use in tree.iter("{*}use")}
    assert used == set(dict(shown.glyphs))


def test_notes_in_question_are_red_and_ringed() -> None:
    """A note in question has a class and a ring that encloses its head: never colour alone."""
    request = ExcerptRequest(0, 1, ("P1",), ("P1.0.1", "P1.0.9"))
    (shown,) = excerpts(quay_page(), [request])
    tree = etree.fromstring(shown.svg)
    (asked,) = tree.findall(".//{*}g[@data-n='P1.0.1']")
    assert "asked" in str(asked.get("class"))
    (ring,) = tree.findall(".//{*}path[@class='ring']")
    xs = [float(x) for x, _ in re.findall(r"(-?\d+) (-?\d+)", str(ring.get("d")))]
    ys = [float(y) for _, y in re.findall(r"(-?\d+) (-?\d+)", str(ring.get("d")))]
    use = asked.find(".//{*}use")
    assert use is not None
    found = re.search(r"translate\((\d+), (\d+)\)", str(use.get("transform")))
    assert found
    assert min(xs) < float(found[1]) < max(xs)
    assert min(ys) < float(found[2]) < max(ys)


def test_a_chord_gets_one_ring() -> None:
    """The two notes of a chord share one ring."""
    (shown,) = excerpts(quay_page(), [ExcerptRequest(1, 1, ("P1",), ("P1.1.0", "P1.1.1"))])
    assert shown.svg.count('class="ring"') == 1
    assert shown.svg.count("asked") == 2


def test_a_ring_never_spans_two_staves() -> None:
    """Notes that stand close on two staves of one part get a ring on each."""
    both = tuple(f"P3.1.{n}" for n in range(2))
    (shown,) = excerpts(quay_page(), [ExcerptRequest(1, 1, ("P3",), both)])
    assert shown.svg.count('class="ring"') == 2


def test_every_bar_carries_its_printed_number() -> None:
    """Numbers are written over all bars, also under a rehearsal letter."""
    (shown,) = excerpts(quay_page(), [ExcerptRequest(2, 5, ("P1",))])
    assert re.findall(r'class="mNum"><text [^>]*>(\d+)<', shown.svg) == ["3", "4", "5", "6"]
    assert ">B<" in shown.svg


def test_bars_without_a_note_in_question_are_bracketed() -> None:
    """A place without notes gets a bracket over its own stave, here the third of three."""
    requests = [
        ExcerptRequest(2, 3, ("P1", "P3"), brackets=((2, "P3", 2),)),
        ExcerptRequest(2, 3, ("P1", "P3"), brackets=((2, "P1", 1),)),
    ]
    low, high = (
        float(re.findall(r'class="ring" d="M\d+ (-?\d+)', shown.svg)[0])
        for shown in excerpts(quay_page(), requests)
    )
    assert low > high + 2 * 720


def test_ties_and_hairpins_across_the_edge_stay_visible() -> None:
    """The last bar of a tie shows its note still tied; a hairpin cut in two is still drawn."""
    tied, swelling = excerpts(
        quay_page(), [ExcerptRequest(5, 5, ("P1",)), ExcerptRequest(3, 3, ("P1",))]
    )
    alone = page(score_of(f"<measure>{ATTRIBUTES}{whole_note('B')}</measure>"))
    (plain,) = excerpts(alone, [ExcerptRequest(0, 0, ("P1",))])
    assert curves(tied) > curves(plain)
    assert "<polyline" in swelling.svg


def curves(shown: Excerpt) -> int:
    """Count slurs and ties: paths that are curved and not ours."""
    return len(re.findall(r'<path d="M[^"]*C', shown.svg))


def test_long_ranges_are_cut_and_say_so() -> None:
    """More than six bars are never shown, and the excerpt says how many there were."""
    bars = (
        f"<measure>{ATTRIBUTES}{whole_note()}</measure>" + f"<measure>{whole_note()}</measure>" * 29
    )
    (shown,) = excerpts(page(score_of(bars)), [ExcerptRequest(0, 19, ("P1",))])
    assert shown.last - shown.first + 1 == LONGEST
    assert shown.remark == f"The first {LONGEST} of 20 bars."


def test_crowded_bars_are_fewer_but_fit() -> None:
    """An excerpt keeps within its width by leaving bars out, not by shrinking out of sight."""
    short = (
        "<note><pitch><step>C</step><octave>5</octave></pitch><duration>1</duration>"
        "<voice>1</voice><type>32nd</type></note>"
    )
    crowd = ATTRIBUTES.replace("<divisions>2", "<divisions>8")
    bars = f"<measure>{crowd}{short * 32}</measure>" + f"<measure>{short * 32}</measure>" * 5
    (shown,) = excerpts(page(score_of(bars)), [ExcerptRequest(0, 5, ("P1",))])
    assert shown.width_px <= WIDEST_PX
    assert shown.last < 5
    assert shown.remark.startswith("The first")


def test_a_passage_that_cannot_be_engraved_says_so() -> None:
    """A passage that kills the engraver becomes a sentence; the others of the letter stand."""
    zero = ATTRIBUTES.replace("<beats>4", "<beats>0").replace("type>4", "type>0")
    deadly = page(score_of(f"<measure>{zero}{whole_note()}</measure>"))
    (none,) = excerpts(deadly, [ExcerptRequest(0, 0, ("P1",))])
    assert none.svg == ""
    assert none.remark.startswith("This passage could not be engraved")


def test_hostile_words_stay_words() -> None:
    """Names, words and lyrics that look like markup come out as text, in text and attributes."""
    attack = "&lt;/text&gt;&lt;script&gt;alert(1)&lt;/script&gt;"
    listing = f'<score-part id="P1"><part-name>{attack[:40]}</part-name></score-part>'
    words = f"<direction><direction-type><words>{attack}</words></direction-type></direction>"
    lyric = f"<lyric><text>{attack}</text></lyric>"
    source = page(
        score_of(f"<measure>{ATTRIBUTES}{words}{whole_note('C', lyric)}</measure>", listing)
    )
    request = ExcerptRequest(0, 0, ("P1",), title='"><script>alert(2)</script>')
    (shown,) = excerpts(source, [request])
    tree = etree.fromstring(shown.svg)
    assert tree.get("aria-label") == request.title
    assert not list(tree.iter("{*}script"))
    assert "alert(1)" in "".join(map(str, tree.itertext()))
