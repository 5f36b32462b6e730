"""Slurs, hairpins and endings cut in two: each gets two ends or none."""

from lxml import etree

from redstave.render.page_xml import Element
from redstave.render.spans_mended import mend_endings, mend_hairpins, mend_slurs
from tests.render.quay import whole_note


def bar(inside: str) -> Element:
    """Return one bar."""
    return etree.fromstring(f"<measure>{inside}</measure>")


def slur(kind: str) -> str:
    """Return notations with one end of a slur."""
    return f"<notations><slur type='{kind}' number='1'/></notations>"


def wedge(kind: str) -> str:
    """Return a direction with one end of a hairpin."""
    return f"<direction><direction-type><wedge type='{kind}'/></direction-type></direction>"


def ends(bars: list[Element], name: str) -> list[str]:
    """Return the types of all elements of a name, in order."""
    return [str(found.get("type")) for one in bars for found in one.iter(name)]


def test_a_slur_from_outside_begins_at_the_edge() -> None:
    """A slur that only ends inside is hung on the first note of the first bar."""
    bars = [bar(whole_note()), bar(whole_note("D", slur("stop")))]
    mend_slurs(bars)
    assert ends(bars, "slur") == ["start", "stop"]


def test_a_slur_to_outside_ends_at_the_edge() -> None:
    """A slur that only begins inside is hung on the last note of the last bar."""
    bars = [bar(whole_note("C", slur("start"))), bar(whole_note("D") + whole_note("E"))]
    mend_slurs(bars)
    assert ends(bars, "slur") == ["start", "stop"]
    assert bars[1][1].find("notations/slur") is not None


def test_a_slur_with_nowhere_to_go_is_removed() -> None:
    """A slur whose only note is the edge itself has no second end and goes."""
    bars = [bar(whole_note("C", slur("start")))]
    mend_slurs(bars)
    assert ends(bars, "slur") == []


def test_whole_slurs_stay_as_they_are() -> None:
    """A slur with both ends inside is left alone."""
    bars = [bar(whole_note("C", slur("start")) + whole_note("D", slur("stop")))]
    before = etree.tostring(bars[0])
    mend_slurs(bars)
    assert etree.tostring(bars[0]) == before


def test_hairpins_are_closed_at_both_edges() -> None:
    """What began before is opened at the left edge, what goes on is closed at the right one."""
    opened = etree.fromstring(wedge("diminuendo"))
    bars = [bar(whole_note()), bar(wedge("stop") + whole_note() + wedge("crescendo"))]
    mend_hairpins(bars, {"1/1": opened})
    assert ends(bars, "wedge") == ["diminuendo", "stop", "crescendo", "stop"]


def test_a_hairpin_that_ends_without_beginning_is_removed() -> None:
    """A stop that nothing began is dropped with its direction."""
    bars = [bar(wedge("stop") + whole_note())]
    mend_hairpins(bars, {})
    assert bars[0].find("direction") is None


def test_half_an_ending_is_removed() -> None:
    """A first ending of which only one end is inside goes; a whole one stays."""
    end = "<barline><ending type='{}' number='1'/></barline>"
    half = [bar(end.format("start")), bar("")]
    mend_endings(half)
    assert ends(half, "ending") == []
    whole = [bar(end.format("start")), bar(end.format("stop"))]
    mend_endings(whole)
    assert ends(whole, "ending") == ["start", "stop"]
