"""What elements say beyond the fields that hold them is kept, in `inside` and `attributes`."""

from redstave.model.score import Inner, Note
from redstave.reading import read_bytes
from tests.reading.inline import (
    NOTE,
    codes,
    only_mark,
    only_span,
    part_of_direction,
    score_of_bars,
    xml_of_parts,
)


def only_note(children: str) -> Note:
    """Read one bar with one whole note that holds these children behind its type."""
    score = score_of_bars(NOTE.replace("{}", children))
    assert score.problems == ()
    return score.parts[0].notes[0]


def test_a_child_with_attributes_of_its_own_is_kept_whole() -> None:
    """The length of a stem, the place of a dot and the fan of a beam are on the note."""
    note = only_note(
        '<dot placement="above"/><stem default-y="3">up</stem>'
        '<beam number="1" fan="accel">begin</beam>'
    )
    assert (note.stem, note.dots) == ("up", 1)
    assert note.inside == (
        Inner("dot", "", (("placement", "above"),)),
        Inner("stem", "up", (("default-y", "3"),)),
        Inner("beam", "begin", (("number", "1"), ("fan", "accel"))),
    )


def test_what_the_fields_hold_is_not_kept_twice() -> None:
    """A plain note with stem and beams has nothing inside."""
    note = only_note('<stem>up</stem><beam number="1">begin</beam><beam number="2">begin</beam>')
    assert note.inside == ()
    assert note.details == (("beam", "begin"), ("beam", "begin"))


def test_marks_keep_their_elements_children() -> None:
    """The tuning of each harp pedal can be told from the mark."""
    tuning = "<pedal-tuning><pedal-step>D</pedal-step><pedal-alter>-1</pedal-alter></pedal-tuning>"
    mark = only_mark(part_of_direction(f"<harp-pedals>{tuning}</harp-pedals>"), "harp-pedals")
    assert mark.inside == (
        Inner("pedal-tuning", "", (), (Inner("pedal-step", "D"), Inner("pedal-alter", "-1"))),
    )


def test_hidden_notations_hide_what_is_in_them_and_nothing_else() -> None:
    """Of two groups of notations the one that is not printed says so on its own marks and spans."""
    score = score_of_bars(
        NOTE.format(
            '<notations print-object="no"><tuplet type="start"/></notations><notations>'
            "<articulations><accent/></articulations></notations>"
        )
        + NOTE.format('<notations><tuplet type="stop"/></notations>')
    )
    (part,) = score.parts
    assert only_span(part, "tuplet").attributes == (("notations-print-object", "no"),)
    assert only_mark(part, "articulation").attributes == ()


def test_both_ends_of_a_tie_say_how_they_are_drawn() -> None:
    """Curves of ties are kept like those of slurs; placement is that of the start."""
    tied = '<notations><tied type="{}" orientation="{}"{}/></notations>'
    score = score_of_bars(
        NOTE.format(tied.format("start", "over", ' placement="above"'))
        + NOTE.format(tied.format("stop", "under", ""))
    )
    span = only_span(score.parts[0], "tie")
    assert span.placement == "above"
    assert span.attributes == (
        ("orientation", "over"),
        ("placement", "above"),
        ("stop-orientation", "under"),
    )


def test_a_pedal_that_is_broken_off_says_so() -> None:
    """A line that is discontinued ends, but not as one that stops."""
    pedal = "<direction><direction-type><pedal type='{}' line='yes'/></direction-type></direction>"
    score = score_of_bars(pedal.format("start") + pedal.format("discontinue") + NOTE.format(""))
    span = only_span(score.parts[0], "pedal")
    assert ("stop-type", "discontinue") in span.attributes


def test_the_heading_of_a_part_is_kept_whole() -> None:
    """Everything in the list of parts stays with its part, the print-object of a name too."""
    heading = '<part-name print-object="no">Flute</part-name><group>winds</group>'
    bar = f'<measure number="1"><attributes><divisions>1</divisions></attributes>{NOTE.format("")}'
    data = xml_of_parts({"P1": f"{bar}</measure>"}, f'<score-part id="P1">{heading}</score-part>')
    assert read_bytes(data, "x.xml").parts[0].heading == (
        Inner("part-name", "Flute", (("print-object", "no"),)),
        Inner("group", "winds"),
    )


def test_a_note_that_is_also_a_rest_is_reported() -> None:
    """The pitch is read, and the rest is not dropped in silence."""
    score = score_of_bars(NOTE.format("<rest measure='yes'/>"))
    assert codes(score) == ["pitch-and-rest"]
    (note,) = score.parts[0].notes
    assert (note.kind, note.whole_bar) == ("pitched", False)


def test_a_direction_that_says_nothing_is_reported() -> None:
    """One without contents is left out and named."""
    score = score_of_bars("<direction placement='above'/>" + NOTE.format(""))
    assert codes(score) == ["empty-direction"]
