"""Element by element: what stands in a file stands in what we write of it, letter by letter.

Each snippet of `snippets.xml` is put into a bar, read, written, and looked for in the result. Bar
and result must be valid under the W3C's schema.
"""

from pathlib import Path

import pytest
from lxml import etree

from redstave.reading import read_bytes
from redstave.writing import to_musicxml
from tests.reading.inline import ATTRIBUTES, NOTE, score_of_bars, xml_of_bars, xml_of_parts
from tests.writing.schema import faults

SNIPPETS = etree.parse(Path(__file__).with_name("snippets.xml")).getroot()


def snippets(group: str) -> list[str]:
    """The snippets of a group, as text; more than one element may stand in one."""
    ones = SNIPPETS.find(f"group[@name='{group}']")
    texts = ["".join(etree.tostring(child, encoding="unicode") for child in one) for one in ones]
    assert texts
    return texts


def wanted(snippet: str) -> list[bytes]:
    """The elements of a snippet in canonical form."""
    root = etree.fromstring(f"<x>{snippet}</x>")
    return [canonical(element) for element in root]


def canonical(element: etree._Element) -> bytes:
    """An element without ids of ours and space between elements, in canonical form."""
    copy = etree.fromstring(etree.tostring(element, with_tail=False))
    for one in copy.iter(etree.Element):
        if one.tag not in ("instrument", "instrument-change"):
            one.attrib.pop("id", None)
        one.tail = None
        if len(one):
            one.text = None
    return etree.tostring(copy, method="c14n2")


def written(data: bytes) -> etree._Element:
    """What we write of a file, which must be valid; so must the file be."""
    mended = data.replace(b"<part-name>P1</part-name>", HEADING)
    assert faults(etree.fromstring(mended)) == []
    root = etree.fromstring(to_musicxml(read_bytes(mended, "snippet.musicxml")))
    assert faults(root) == []
    return root


HEADING = (
    b"<part-name>P1</part-name>"
    b'<score-instrument id="P1-I1"><instrument-name>One</instrument-name></score-instrument>'
    b'<score-instrument id="P1-I2"><instrument-name>Two</instrument-name></score-instrument>'
)


def found(root: etree._Element, path: str) -> list[bytes]:
    """The elements at a path in canonical form."""
    return [canonical(element) for element in root.iterfind(f"part/measure/{path}")]


@pytest.mark.parametrize("snippet", snippets("note-content"))
def test_what_hangs_on_a_note(snippet: str) -> None:
    """Notations in their families and groups, lyrics and playback."""
    root = written(xml_of_bars(NOTE.format(snippet)))
    note = root.find("part/measure/note")
    assert [canonical(one) for one in note][4:] == wanted(snippet)


@pytest.mark.parametrize("snippet", snippets("directions"))
def test_directions(snippet: str) -> None:
    """What stands above or below the stave, with several things in one direction."""
    name = etree.fromstring(snippet).tag
    root = written(xml_of_bars(snippet + NOTE.format("")))
    assert found(root, name) == wanted(snippet)


@pytest.mark.parametrize("snippet", snippets("spans"))
def test_spans_in_directions(snippet: str) -> None:
    """Both ends and what lies between them; one pedal's end may be the next one's beginning."""
    bars = [one + NOTE.format("") for one in ends(snippet)]
    assert found(written(xml_of_bars(*bars)), "direction") == wanted(snippet)


def ends(snippet: str) -> list[str]:
    """The directions of a snippet, one for each bar."""
    root = etree.fromstring(f"<x>{snippet}</x>")
    return [etree.tostring(one, encoding="unicode", with_tail=False) for one in root]


@pytest.mark.parametrize("snippet", snippets("attributes"))
def test_attributes(snippet: str) -> None:
    """Keys, metres, clefs, transpositions and what else holds from its place on."""
    root = written(xml_of_bars(NOTE.format("") + f"<attributes>{snippet}</attributes>"))
    assert found(root, "attributes/*")[-1:] == wanted(snippet)


@pytest.mark.parametrize("snippet", snippets("barlines"))
def test_barlines(snippet: str) -> None:
    """Barlines with all that stands on them."""
    root = written(xml_of_bars(snippet + NOTE.format("")))
    assert found(root, "barline") == wanted(snippet)


@pytest.mark.parametrize("snippet", snippets("prints"))
def test_layout(snippet: str) -> None:
    """Breaks and the layout of pages."""
    assert found(written(xml_of_bars(snippet + NOTE.format(""))), "print") == wanted(snippet)


@pytest.mark.parametrize("snippet", snippets("notes"))
def test_notes(snippet: str) -> None:
    """All children of a note, in the order of MusicXML 4.0."""
    root = written(xml_of_bars(snippet))
    assert found(root, "note") == wanted(snippet)


def test_the_head_and_the_list_of_parts() -> None:
    """Titles, makers, layout, credits, headings and brackets are kept; the program is added."""
    (head,), (listed,) = snippets("head"), snippets("part-list")
    bar = f'<measure number="1">{ATTRIBUTES}{NOTE.format("")}</measure>'
    data = xml_of_parts({"P1": bar}, listed).decode().replace("<part-list>", head + "<part-list>")
    root = written(data.encode())
    assert root.findtext("identification/encoding/software").startswith("Redstave")
    own = root.find("identification/encoding/software")
    own.getparent().remove(own)
    before = [canonical(element) for element in root if element.tag != "part"]
    assert before == wanted(f"{head}<part-list>{listed}</part-list>")


WORDS = (
    "<direction><direction-type><words>x</words></direction-type><offset>{}</offset></direction>"
)


def test_nothing_comes_between_the_notes_of_a_chord() -> None:
    """A direction inside a chord stays there, and the chord stays one."""
    high = NOTE.replace("<note>", "<note><chord/>").replace("<step>C", "<step>E")
    score = score_of_bars(NOTE.format("") + WORDS.format(-2) + high.format(""))
    again = read_bytes(to_musicxml(score), "written.musicxml")
    assert [(note.offset, note.chord) for note in again.parts[0].notes] == [(0, False), (0, True)]
    (word,) = again.parts[0].marks_of("word")
    assert word.offset == 2
    assert [bar.length for bar in again.bars] == [4]


def test_a_direction_does_not_lengthen_its_bar() -> None:
    """One that is moved to behind the end of its bar is written there; the bar stays as it is."""
    words = (
        "<direction><direction-type><words>x</words></direction-type><offset>3</offset></direction>"
    )
    score = score_of_bars(NOTE.format("") + words, NOTE.format(""))
    again = read_bytes(to_musicxml(score), "written.musicxml")
    (word,) = again.parts[0].marks_of("word")
    assert (word.bar, word.offset) == (0, 7)
    assert again.bars == score.bars


def test_gaps_are_kept() -> None:
    """What a part leaves empty at the end of a bar belongs to its bar."""
    short = NOTE.replace("<duration>4", "<duration>1").format("")
    gap = "<forward><duration>3</duration></forward>"
    score = score_of_bars(short + gap, short + gap)
    again = read_bytes(to_musicxml(score), "written.musicxml")
    assert again.bars == score.bars
    assert again.problems == score.problems == ()


def test_a_bar_of_hours_can_be_written() -> None:
    """A gap longer than a reader takes for sound is written in several."""
    gap = "<forward><duration>200</duration></forward>"
    score = score_of_bars(NOTE.format("") + gap * 2 + NOTE.format(""))
    again = read_bytes(to_musicxml(score), "written.musicxml")
    assert [note.offset for note in again.parts[0].notes] == [0, 404]


def test_ids_of_the_file_are_its_own() -> None:
    """What the file has named keeps its name, and nothing else is given that name."""
    named = NOTE.replace("<note>", '<note id="P1.0.1">').format("")
    score = score_of_bars(named + NOTE.format(""))
    root = etree.fromstring(to_musicxml(score))
    assert [note.get("id") for note in root.iter("note")] == ["P1.0.1", None]
    assert faults(root) == []
