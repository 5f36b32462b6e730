"""Cutting a passage out of the page: everything in it, nothing of the entrant's layout."""

from lxml import etree

from redstave.render.cut import MARGIN, Passage, cut, label
from redstave.render.page_xml import Element, page
from tests.render.quay import ATTRIBUTES, quay_page, score_of, whole_note


def tree(passage: Passage) -> Element:
    """Return a passage of the quay as XML."""
    return etree.fromstring(cut(quay_page(), passage).xml)


def test_a_passage_keeps_every_note_of_its_bars() -> None:
    """Bars asked for and margin hold exactly the notes that the page holds there."""
    source = quay_page()
    for first in range(source.bar_count):
        found = tree(Passage(first, first, ("P1", "P3")))
        start = max(0, first - MARGIN)
        expected = [
            note.get("id")
            for part in source.parts
            if part.id in ("P1", "P3")
            for bar in part.bars[start : first + MARGIN + 1]
            for note in bar.iterchildren("note")
        ]
        assert [note.get("id") for note in found.iter("note")] == expected


def test_what_is_shown_counts_from_the_cut() -> None:
    """The bars to show are told by their place in the cut, counted from 1."""
    assert cut(quay_page(), Passage(0, 1, ("P1",))).show == "1-2"
    assert cut(quay_page(), Passage(5, 5, ("P1",))).show == f"{MARGIN + 1}-{MARGIN + 1}"


def test_the_first_bar_carries_what_is_in_force() -> None:
    """Clef, key, metre, divisions and transposition are written into the first bar of a cut."""
    found = tree(Passage(5, 5, ("P2", "P3")))
    clarinet = found.find("part[@id='P2']/measure")
    harp = found.find("part[@id='P3']/measure")
    assert clarinet is not None
    assert harp is not None
    assert clarinet.findtext("attributes/transpose/chromatic") == "-2"
    assert clarinet.findtext("attributes/key/fifths") == "0"
    assert clarinet.findtext("attributes/time/beats") == "3"
    assert clarinet.findtext("attributes/divisions")
    assert [clef.findtext("sign") for clef in harp.iterfind("attributes/clef")] == ["G", "F"]
    assert harp.findtext("attributes/staves") == "2"


def test_the_bar_s_own_clef_stands_over_the_running_one() -> None:
    """Where the first bar sets a clef at once, only that one is written."""
    own = "<attributes><clef><sign>C</sign><line>3</line></clef></attributes>"
    bars = f"<measure>{ATTRIBUTES}{whole_note()}</measure>" + f"<measure>{own}</measure>" * 5
    found = etree.fromstring(cut(page(score_of(bars)), Passage(5, 5, ("P1",))).xml)
    first = found.find("part/measure")
    assert first is not None
    assert [clef.findtext("sign") for clef in first.iter("clef")] == ["C"]


def test_groups_stay_while_they_hold_two_parts() -> None:
    """A bracket is kept round two of its parts and dropped round one; every start has its stop."""
    both = [g.get("type") for g in tree(Passage(0, 0, ("P1", "P2", "P4"))).iter("part-group")]
    assert both == ["start", "stop"]
    assert not list(tree(Passage(0, 0, ("P1", "P3"))).iter("part-group"))


def test_rehearsal_letters_move_to_the_first_kept_stave() -> None:
    """A letter printed over the top stave of the page stands over the top stave of the cut."""
    found = tree(Passage(3, 3, ("P3", "P4")))
    over = [part.get("id") for part in found.iter("part") if part.find(".//rehearsal") is not None]
    assert over == ["P3"]


def test_a_level_in_force_is_shown_in_parentheses() -> None:
    """A stave that sounds on across the left edge shows its level; one that enters does not."""
    sounding = tree(Passage(4, 4, ("P2",)))
    words = [direction.findtext(".//words") for direction in sounding.iter("direction")]
    assert "(" in words
    entering = tree(Passage(5, 5, ("P4",)))
    bar = entering.findall("part/measure")[MARGIN]
    assert bar.find(".//dynamics") is None


def test_the_entrant_s_layout_and_colours_are_left_behind() -> None:
    """Layout, colours, hidden staves and playback do not come along: the one red is ours."""
    hidden = (
        "<attributes><staff-details print-object='no'><staff-lines>1</staff-lines>"
        "</staff-details></attributes>"
    )
    red = whole_note().replace("<note", "<note color='#FF0000'")
    layout = "<print new-page='yes'/>"
    bars = f"<measure>{layout}{ATTRIBUTES}{hidden}<sound tempo='90'/>{red}</measure>"
    text = cut(page(score_of(bars)), Passage(0, 0, ("P1",))).xml
    for word in ("print", "color", "<sound", "print-object"):
        assert word not in text


def test_a_metronome_mark_loses_its_brackets() -> None:
    """Brackets round a metronome mark go: the engraver would set them side by side before it."""
    mark = (
        "<direction><direction-type><words>[</words></direction-type><direction-type><metronome>"
        "<beat-unit>quarter</beat-unit><per-minute>60</per-minute></metronome></direction-type>"
        "<direction-type><words>]</words></direction-type></direction>"
    )
    text = cut(page(score_of(f"<measure>{mark}</measure>")), Passage(0, 0, ("P1",))).xml
    assert "metronome" in text
    assert "<words>" not in text


def test_a_long_name_gives_way_to_its_abbreviation() -> None:
    """Before the stave stands the name, the abbreviation of a long one, or the long one cut."""
    flute, clarinet = quay_page().parts[:2]
    assert label(flute) == "Flute 1. 2"
    assert label(clarinet) == "Clarinet in B-flat"
    listing = '<score-part id="P1"><part-name>%s</part-name>%s</score-part>'
    short = "<part-abbreviation>Vc.</part-abbreviation>"
    long = page(score_of("<measure/>", listing % ("Violoncelli, all of them", short))).parts[0]
    bare = page(score_of("<measure/>", listing % ("Violoncelli, all of them", ""))).parts[0]
    assert label(long) == "Vc."
    assert label(bare).endswith("…")
