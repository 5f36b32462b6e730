"""The page as XML: the reader's ids on it, and what stands before each bar."""

from pathlib import Path

import pytest
from lxml import etree

from redstave.base.errors import InputError
from redstave.reading import read_bytes, xml_of
from redstave.render.page_xml import Page, page
from tests.render.quay import ATTRIBUTES, quay, quay_page, score_of, whole_note


def ids(found: Page) -> set[str]:
    """Return the id of every note on a page."""
    return {
        str(note.get("id"))
        for part in found.parts
        for bar in part.bars
        for note in bar.iterchildren("note")
    }


def test_page_and_score_share_one_key() -> None:
    """Every note of the Score has its id on the page, and no note of the page another."""
    assert ids(quay_page()) == set(read_bytes(quay(), "quay.musicxml").notes_by_id)


@pytest.mark.corpus
def test_page_and_score_share_one_key_in_foreign_files(scores: Path) -> None:
    """The same holds for every file of the unofficial MusicXML test suite (R. Kainhofer)."""
    compared = 0
    for file in sorted((scores / "suite").iterdir()):
        if file.suffix not in (".xml", ".mxl"):
            continue
        data = file.read_bytes()
        try:
            score = read_bytes(data, file.name)
        except InputError:
            continue
        found = page(xml_of(data, file.name)[0])
        assert ids(found) == set(score.notes_by_id), file.name
        assert found.bar_count == len(score.bars), file.name
        compared += 1
    assert compared > 100


def test_clef_key_and_divisions_run_on() -> None:
    """What a bar does not set itself is known from the bars before it."""
    change = "<attributes><clef><sign>F</sign><line>4</line></clef></attributes>"
    bars = (
        f'<measure number="1">{ATTRIBUTES}{whole_note()}{change}</measure>'
        f'<measure number="2">{whole_note()}</measure>'
    )
    part = page(score_of(bars)).parts[0]
    assert not part.standing[0].attributes
    standing = part.standing[1].attributes
    assert standing[("clef", "1")].findtext("sign") == "F"
    assert standing[("divisions", "")].text == "2"
    assert standing[("key", "")].findtext("fifths") == "0"


def test_hiding_a_stave_keeps_its_lines() -> None:
    """A staff-details that only hides the stave leaves the number of lines as it was."""
    one = "<attributes><staff-details><staff-lines>1</staff-lines></staff-details></attributes>"
    hide = '<attributes><staff-details print-object="no"/></attributes>'
    bars = f'<measure number="1">{one}</measure><measure>{hide}</measure><measure/>'
    standing = page(score_of(bars)).parts[0].standing[2].attributes
    assert standing[("staff-details", "")].findtext("staff-lines") == "1"


def test_the_last_level_stands_until_a_hairpin() -> None:
    """A printed level stands; after a hairpin nobody can say from the page what stands."""
    level = "<direction><direction-type><dynamics><mf/></dynamics></direction-type></direction>"
    wedge = '<direction><direction-type><wedge type="crescendo"/></direction-type></direction>'
    bars = f"<measure>{level}</measure><measure>{wedge}</measure><measure/>"
    part = page(score_of(bars)).parts[0]
    assert part.standing[1].levels == {"1": "mf"}
    assert part.standing[2].levels == {}
    assert list(part.standing[2].hairpins) == ["1/1"]


def test_timewise_bars_are_turned() -> None:
    """A score written bar by bar gives the same page as one written part by part."""
    listing = '<part-list><score-part id="P1"><part-name>Oboe</part-name></score-part></part-list>'
    timewise = (
        f"<score-timewise>{listing}"
        f'<measure number="1"><part id="P1">{ATTRIBUTES}{whole_note("D")}</part></measure>'
        f'<measure number="2"><part id="P1">{whole_note("E")}</part></measure></score-timewise>'
    ).encode()
    partwise = score_of(
        f'<measure number="1">{ATTRIBUTES}{whole_note("D")}</measure>'
        f'<measure number="2">{whole_note("E")}</measure>'
    )
    turned, straight = page(timewise).parts[0], page(partwise).parts[0]
    assert [etree.tostring(bar) for bar in turned.bars] == [
        etree.tostring(bar) for bar in straight.bars
    ]


def test_an_entity_is_not_expanded() -> None:
    """A file cannot bring text in by way of an entity."""
    bomb = b'<!DOCTYPE a [<!ENTITY e "secret">]>' + score_of("<measure/>").replace(b"Oboe", b"&e;")
    assert "secret" not in page(bomb).parts[0].name


@pytest.mark.parametrize("data", [b"", b"plain", b"<mei/>", b"<score-partwise>"])
def test_what_is_no_musicxml_is_refused(data: bytes) -> None:
    """Anything else is an InputError with one sentence."""
    with pytest.raises(InputError, match=r"^[^\n]+$"):
        page(data)
