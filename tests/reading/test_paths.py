"""The way back: the path of every note, mark and span leads to the element it was read from."""

import pytest
from lxml import etree

from redstave.reading import element_paths, read_bytes
from redstave.reading.paths import paths_of
from tests.reading.inline import NOTE, xml_of_bars, xml_of_parts
from tests.reading.ways_back import astray

MARKED = (
    "<!-- no element --><direction><direction-type><dynamics><f/>"
    "<other-dynamics>più</other-dynamics></dynamics></direction-type>"
    "<direction-type><wedge type='crescendo'/></direction-type>"
    "<sound dynamics='90'/></direction>"
    + NOTE.format(
        "<notations><tied type='start'/><slur type='start'/><articulations><!-- nor this -->"
        "<accent/><staccato/></articulations></notations>"
    )
    + "<direction><direction-type><wedge type='stop'/></direction-type></direction>"
)
ENDED = NOTE.format("<notations><slur type='stop'/><tied type='stop'/></notations>")


@pytest.mark.parametrize(
    "data",
    [
        xml_of_bars(MARKED, ENDED),
        xml_of_bars(MARKED, ENDED).replace(b"<score-partwise", b"<score-partwise xmlns='urn:m'"),
        xml_of_parts({"A": "<measure number='1'/>", "B": f"<measure number='1'>{ENDED}</measure>"}),
        b"<score-timewise><part-list/><measure number='1'>"
        b'<part id="it\'s">%b</part><part id="it\'s">%b</part></measure>'
        b"<measure number='2'><part>%b</part><part id=\"it's\">%b</part></measure></score-timewise>"
        % ((MARKED.encode(),) * 2 + (ENDED.encode(),) * 2),
    ],
    ids=["part by part", "namespace", "two parts", "bar by bar"],
)
def test_paths_lead_back(data: bytes) -> None:
    """Every path names one element: that of the name and line that the Score tells."""
    score = read_bytes(data, "x.xml")
    assert sum(len(part.notes) for part in score.parts) > 0
    assert astray(score, etree.fromstring(data)) == []


def test_a_path_is_plain() -> None:
    """A path names the bar by its number and the element by its position in it."""
    score = read_bytes(xml_of_bars(MARKED, ENDED), "x.xml")
    (part,) = score.parts
    (accent, staccato) = part.marks_of("articulation")
    assert accent.path == "3.5.3.1"
    assert element_paths(score, staccato.id) == ("/*/part[1]/measure[1]/*[3]/*[5]/*[3]/*[2]",)
    assert element_paths(score, part.notes[1].id) == ("/*/part[1]/measure[2]/note[1]",)
    (slur,) = part.spans_of("slur")
    assert element_paths(score, slur.id) == paths_of(part, slur)
    assert [path.rpartition("/")[2] for path in paths_of(part, slur)] == ["*[2]", "*[1]"]


def test_an_unknown_id_is_an_error() -> None:
    """What the score does not hold has no path."""
    score = read_bytes(xml_of_bars(ENDED), "x.xml")
    with pytest.raises(KeyError):
        element_paths(score, "P1.7.m3")
