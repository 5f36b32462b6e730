"""A painted system shows its bars, knows where its staves lie, and holds nothing of a stranger."""

from pathlib import Path

import pytest
from lxml import etree

from redstave.reading.tiny import to_musicxml
from redstave.render.engraver import Engraver, Engraving
from redstave.render.page_xml import page
from redstave.render.systems import Layout, Picture, PictureStore, Pitch, System, paint, ribbon_rows
from redstave.render.systems.allowed import ATTRIBUTES, ELEMENTS, keep_allowed
from redstave.render.systems.heard import worst
from redstave.render.systems.paint import picture
from redstave.render.view import Audibility

TEXT = """\
title: Two
meter: 4/4
part Clarinet in B flat | transpose=-2 | abbr=Cl.
mf C5/4( D5 E5 F5) | G5/2 A5 | G5/1 | F5/1 |.
part Viola | clef=alto | abbr=Vla.
p C4/1 | D4 | E4 | F4 |.
"""
HOSTILE = '</text><script>alert(1)</script><image href="x" onload="alert(2)"/>'


@pytest.fixture(scope="module")
def engraver():
    """Keep one child for all tests here."""
    with Engraver() as one:
        yield one


@pytest.fixture(scope="module")
def painted(engraver: Engraver) -> Picture:
    """Paint the first three bars."""
    source = page(to_musicxml(TEXT))
    return paint(source, System(0, 0, 2, ("P1", "P2")), Layout(), engraver)


def groups(picture: Picture, name: str) -> list[str]:
    """Return our ids of the groups of one class."""
    root = etree.fromstring(f"<g>{picture.body}</g>")
    found = [one for one in root.iter("g") if name in str(one.get("class", "")).split()]
    return [str(one.get("data-n")) for one in found]


def test_the_bars_asked_for_are_shown(painted: Picture) -> None:
    """All notes of the three bars are there under our ids, those of the fourth are not."""
    assert painted.failure == ""
    assert [box.bar for box in painted.bars] == [0, 1, 2]
    notes = groups(painted, "note")
    assert {"P1.0.0", "P1.0.3", "P2.2.0"} <= set(notes)
    assert not [name for name in notes if ".3." in name]


def test_the_system_fills_its_width(painted: Picture) -> None:
    """The last barline stands at the right margin of the layout's width."""
    assert painted.width == Layout().width
    assert painted.bars[-1].right > 0.9 * painted.width


def test_staves_are_measured(painted: Picture) -> None:
    """Two staves, the upper above the lower, each 720 high."""
    assert [(box.part, box.stave) for box in painted.staves] == [("P1", 1), ("P2", 1)]
    assert [box.bottom - box.top for box in painted.staves] == [720.0, 720.0]
    assert painted.staves[0].bottom < painted.staves[1].top


def test_sounding_pitch_is_another_drawing(painted: Picture, engraver: Engraver) -> None:
    """At sounding pitch the clarinet's key has flats that the written page has not."""
    source = page(to_musicxml(TEXT))
    layout = Layout(pitch=Pitch.SOUNDING)
    sounding = paint(source, System(0, 0, 2, ("P1", "P2")), layout, engraver)
    assert sounding.failure == ""
    assert groups(sounding, "note") == groups(painted, "note")
    assert sounding.body != painted.body


def test_a_tempo_word_and_its_note_stand_apart(engraver: Engraver) -> None:
    """Between the word of a tempo and the note value behind it there is a space."""
    text = TEXT.replace("meter: 4/4", 'meter: 4/4\ntempo: 72 "Andantino, teneramente"')
    shown = paint(page(to_musicxml(text)), System(0, 0, 1, ("P1", "P2")), Layout(), engraver)
    assert "teneramente\N{NO-BREAK SPACE}</tspan>" in shown.body


def test_a_stranger_s_words_stay_words(engraver: Engraver) -> None:
    """Markup in names, words and lyrics is shown as text and never becomes an element."""
    text = TEXT.replace("Clarinet in B flat", "Evil").replace("C5/4(", '"WORDS" C5/4(')
    xml = (
        to_musicxml(text)
        .decode()
        .replace("Evil", escaped(HOSTILE))
        .replace("WORDS", escaped(HOSTILE))
    )
    shown = paint(page(xml.encode()), System(0, 0, 1, ("P1", "P2")), Layout(), engraver)
    assert shown.failure == ""
    root = etree.fromstring(f"<g>{shown.body}</g>")
    assert {str(one.tag) for one in root.iter()} <= ELEMENTS
    assert {name for one in root.iter() for name in one.attrib} <= set(ATTRIBUTES)
    assert "alert(1)" in "".join(map(str, root.itertext()))


def escaped(words: str) -> str:
    """Return words as they stand in XML."""
    return words.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


@pytest.mark.parametrize(
    "bad",
    [
        "<script>alert(1)</script>",
        "<foreignObject><p>x</p></foreignObject>",
        '<image href="http://example.org/x.png"/>',
        '<a href="javascript:alert(1)"><text>x</text></a>',
        '<animate attributeName="href" to="javascript:alert(1)"/>',
        '<set attributeName="onclick" to="alert(1)"/>',
        "<style>* { display: none }</style>",
        '<x:script xmlns:x="http://www.w3.org/1999/xhtml">alert(1)</x:script>',
    ],
)
def test_foreign_elements_are_taken_out(bad: str) -> None:
    """Whatever is not on the list goes with all it holds; what stands beside it stays."""
    body = etree.fromstring(f"<g><text>before</text>{bad}<text>after</text></g>")
    keep_allowed(body)
    assert [one.tag for one in body] == ["text", "text"]


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("onload", "alert(1)"),
        ("style", "background: url(http://example.org)"),
        ("href", "http://example.org/x.svg#g"),
        ("href", "javascript:alert(1)"),
        ("fill", "url(http://example.org)"),
        ("class", 'x" onload="alert(1)'),
        ("d", "M0 0 url(x)"),
        ("transform", "translate(1,1);alert(1)"),
        ("font-family", "url(x)"),
        ("data-n", "<script>"),
        ("x", "1\n2"),
    ],
)
def test_foreign_attributes_are_taken_out(name: str, value: str) -> None:
    """An attribute that is not listed, or whose value has another form, is dropped."""
    body = etree.fromstring("<g><path d='M0 0'/></g>")
    body[0].attrib.clear()
    body[0].set(name, value)
    keep_allowed(body)
    assert dict(body[0].attrib) == {}


def test_a_long_transform_is_judged_quickly() -> None:
    """A value made to confuse the pattern is refused without a long search."""
    body = etree.fromstring("<g><path/></g>")
    body[0].set("transform", "translate(" + "1" * 20_000 + "x")
    body[0].set("points", "1 " * 20_000 + "x")
    keep_allowed(body)
    assert dict(body[0].attrib) == {}


def test_a_failure_is_a_sentence() -> None:
    """What the engraver could not set is a picture that says so and draws nothing."""
    source = page(to_musicxml(TEXT))
    shown = picture(source, System(0, 0, 0, ("P1",)), Engraving("", "this could not be engraved"))
    assert (shown.body, shown.failure) == ("", "this could not be engraved")


def test_pictures_are_kept_and_come_back_as_they_were(painted: Picture, tmp_path: Path) -> None:
    """A kept picture equals what was put; another layout, file or system has none."""
    store = PictureStore(tmp_path / "pictures")
    system = System(0, 0, 2, ("P1", "P2"))
    store.put("ab", system, Layout(), painted)
    assert store.get("ab", system, Layout()) == painted
    assert store.get("ac", system, Layout()) is None
    assert store.get("ab", system, Layout(pitch=Pitch.SOUNDING)) is None
    assert store.get("ab", system._replace(last=1), Layout()) is None


def test_a_damaged_picture_is_painted_again(painted: Picture, tmp_path: Path) -> None:
    """A file cut short, as by a power cut, counts as not there."""
    store = PictureStore(tmp_path)
    system = System(0, 0, 2, ("P1", "P2"))
    store.put("ab", system, Layout(), painted)
    (path,) = tmp_path.glob("*/*.json")
    path.write_bytes(path.read_bytes()[:100])
    assert store.get("ab", system, Layout()) is None


def test_old_pictures_make_room(painted: Picture, tmp_path: Path) -> None:
    """Tidying keeps the newest pictures that fit and throws the others away."""
    store = PictureStore(tmp_path)
    for number in range(3):
        store.put("ab", System(number, 0, 2, ("P1", "P2")), Layout(), painted)
    assert store.tidy(most_megabytes=0) == 3
    assert list(tmp_path.glob("*/*.json")) == []


def test_ribbons_lie_under_their_staves(painted: Picture) -> None:
    """Each state has its own shape, under its stave; a bar of rest has none."""
    cells = {
        ("P1", 1, 0): Audibility.HEARD,
        ("P1", 1, 1): Audibility.DOUBTFUL,
        ("P2", 1, 0): Audibility.COVERED,
        ("P2", 1, 2): Audibility.UNKNOWN,
    }
    drawn = etree.fromstring(f"<g>{ribbon_rows(painted, cells)}</g>")
    assert [one.get("class") for one in drawn] == [
        "cell heard",
        "cell doubtful",
        "cell covered",
        "cell unknown",
    ]
    outlines = [str(one.get("d")) for one in drawn]
    assert len(set(outlines)) == 4
    heights = [
        float(outline.split()[1].partition("v")[0].partition("h")[0]) for outline in outlines
    ]
    upper, lower = painted.staves
    assert upper.bottom < min(heights[:2]) <= max(heights[:2]) < lower.top
    assert lower.bottom < min(heights[2:])


def test_the_worst_of_a_shared_stave_counts() -> None:
    """Of two lines on one stave the one that is less heard decides the shape."""
    assert worst([Audibility.HEARD, Audibility.COVERED]) is Audibility.COVERED
    assert worst([Audibility.HEARD, Audibility.DOUBTFUL]) is Audibility.DOUBTFUL
    assert worst([]) is Audibility.SILENT
