"""Both ends of slurs, ties, hairpins and tuplets, however the file orders them."""

import pytest

from redstave.model.score import Score, Span
from tests.reading.inline import ATTRIBUTES, codes, only_span, score_of_bars


def note(step: str, duration: int, content: str = "", voice: int = 1, before: str = "") -> str:
    """Return a note with its notations."""
    return (
        f"<note>{before}<pitch><step>{step}</step><octave>4</octave></pitch>"
        f"<duration>{duration}</duration><voice>{voice}</voice>"
        f"<notations>{content}</notations></note>"
    )


def slur(kind: str, number: int = 1) -> str:
    """Return one end of a slur."""
    return f'<slur type="{kind}" number="{number}"/>'


BACK = "<backup><duration>4</duration></backup>"


def ends(score: Score, kind: str) -> list[tuple[str, str]]:
    """Return the notes at both ends of the spans of a kind."""
    return [
        (span.start.note if span.start else "", span.stop.note if span.stop else "")
        for span in score.parts[0].spans_of(kind)
    ]


def test_slurs_may_chain_on_one_note() -> None:
    """A note may end one slur and begin the next with the same number."""
    score = score_of_bars(
        note("C", 1, slur("start"))
        + note("D", 2, slur("stop") + slur("start"))
        + note("E", 1, slur("stop"))
    )
    assert ends(score, "slur") == [("P1.0.0", "P1.0.1"), ("P1.0.1", "P1.0.2")]
    assert score.problems == ()


def test_a_stop_finds_the_start_of_its_own_voice() -> None:
    """Two voices may use one number at the same time; each stop ends its own voice's slur."""
    first = note("E", 4, slur("start")) + BACK + note("C", 4, slur("start"), voice=2)
    second = note("F", 4, slur("stop")) + BACK + note("D", 4, slur("stop"), voice=2)
    score = score_of_bars(first, second)
    assert ends(score, "slur") == [("P1.0.0", "P1.1.0"), ("P1.0.1", "P1.1.1")]


def test_a_slur_may_run_from_voice_to_voice() -> None:
    """A start in a later voice of the file reaches back to its stop in an earlier one."""
    score = score_of_bars(
        note("E", 2)
        + note("F", 2, slur("stop"))
        + BACK
        + note("C", 2, slur("start"), voice=2)
        + note("D", 2, voice=2)
    )
    assert ends(score, "slur") == [("P1.0.2", "P1.0.1")]
    assert score.problems == ()


def test_nested_numbers_are_kept_apart() -> None:
    """A slur inside a slur has its own number."""
    score = score_of_bars(
        note("C", 1, slur("start") + slur("start", 2))
        + note("D", 1, slur("stop", 2))
        + note("E", 2, slur("stop"))
    )
    assert ends(score, "slur") == [("P1.0.0", "P1.0.2"), ("P1.0.0", "P1.0.1")]


@pytest.mark.parametrize(
    ("kind", "element"),
    [
        ("slur", '<slur type="{}" number="1"/>'),
        ("tuplet", '<tuplet type="{}"/>'),
        ("glissando", '<glissando type="{}"/>'),
        ("slide", '<slide type="{}"/>'),
        ("tie", '<tied type="{}"/>'),
    ],
)
def test_an_end_that_is_missing_is_a_problem(kind: str, element: str) -> None:
    """A span without end or without beginning is kept with None there, and reported."""
    begun = score_of_bars(note("C", 4, element.format("start")))
    ended = score_of_bars(note("C", 4, element.format("stop")))
    assert codes(begun) == [f"{kind}-without-end"]
    assert codes(ended) == [f"{kind}-without-beginning"]
    assert only_span(begun.parts[0], kind).stop is None
    assert only_span(ended.parts[0], kind).start is None


def test_ties_are_read_from_tied_alone_and_from_tie_alone() -> None:
    """Some files print a tie without sounding it and some the reverse; both are ties."""
    tied = score_of_bars(note("C", 2, '<tied type="start"/>') + note("C", 2, '<tied type="stop"/>'))
    pitch = "<pitch><step>C</step><octave>4</octave></pitch><duration>2</duration>"
    sounded = score_of_bars(
        f'<note>{pitch}<tie type="start"/></note><note>{pitch}<tie type="stop"/></note>'
    )
    for score in (tied, sounded):
        first, second = score.parts[0].notes
        assert (first.tie_start, second.tie_stop) == (True, True)
        assert ends(score, "tie") == [("P1.0.0", "P1.0.1")]
        assert score.problems == ()


def test_ties_in_chords_join_equal_pitches_and_may_be_respelled() -> None:
    """Each member's tie runs to the member of its own pitch; B sharp ties to C."""
    start, stop = '<tied type="start"/>', '<tied type="stop"/>'
    sharp = note("B", 2, start).replace("</step>", "</step><alter>1</alter>")
    score = score_of_bars(
        note("E", 2, start)
        + sharp.replace("<note>", "<note><chord/>")
        + note("C", 2, stop).replace("<octave>4", "<octave>5")
        + note("E", 2, stop, before="<chord/>")
    )
    assert sorted(ends(score, "tie")) == [("P1.0.0", "P1.0.3"), ("P1.0.1", "P1.0.2")]


def test_a_tie_over_the_barline_in_another_voice() -> None:
    """A tied note may go on in another voice of the next bar."""
    score = score_of_bars(
        note("C", 4, '<tied type="start"/>', voice=2), note("C", 4, '<tied type="stop"/>')
    )
    assert ends(score, "tie") == [("P1.0.0", "P1.1.0")]


def test_let_ring_is_no_tie() -> None:
    """let-ring marks the note and opens nothing."""
    score = score_of_bars(note("C", 4, '<tied type="let-ring"/>'))
    assert score.parts[0].notes[0].let_ring
    assert not list(score.parts[0].spans_of("tie"))
    assert score.problems == ()


def wedge(kind: str) -> str:
    """Return one end of a hairpin."""
    return f'<direction><direction-type><wedge type="{kind}"/></direction-type></direction>'


def test_a_hairpin_ends_where_its_stop_stands() -> None:
    """A hairpin's ends are places in the bar, not notes."""
    score = score_of_bars(wedge("diminuendo") + note("C", 3) + wedge("stop") + note("D", 1))
    hairpin: Span = only_span(score.parts[0], "hairpin")
    assert hairpin.name == "diminuendo"
    assert hairpin.start is not None
    assert hairpin.stop is not None
    assert (hairpin.start.offset, hairpin.stop.offset) == (0, 3)


def test_a_direction_may_end_before_it_begins_in_the_file() -> None:
    """A stop written before its start at the same place joins it: some programs do that."""
    dashes = '<direction><direction-type><dashes type="{}"/></direction-type></direction>'
    score = score_of_bars(dashes.format("stop") + dashes.format("start") + note("C", 4))
    span = only_span(score.parts[0], "dashes")
    assert span.start is not None
    assert span.stop is not None
    assert score.problems == ()


def test_a_hairpin_without_length_is_a_problem() -> None:
    """A hairpin that begins and ends at one place is kept and reported, over a barline too."""
    here = score_of_bars(note("C", 4), wedge("stop") + wedge("crescendo") + note("C", 4))
    assert codes(here) == ["hairpin-without-length"]
    over = score_of_bars(note("C", 4) + wedge("stop"), wedge("crescendo") + note("C", 4))
    assert codes(over) == ["hairpin-without-length"]


def test_hairpins_of_two_staves_with_one_number_do_not_mix() -> None:
    """Hairpins that overlap on two staves of a part are told apart by their stave."""

    def on_stave(kind: str, stave: int) -> str:
        return wedge(kind).replace("</direction>", f"<staff>{stave}</staff></direction>")

    score = score_of_bars(
        on_stave("crescendo", 1)
        + on_stave("diminuendo", 2)
        + note("C", 4)
        + on_stave("stop", 1)
        + on_stave("stop", 2),
        attributes=ATTRIBUTES.replace("<clef>", "<staves>2</staves><clef>"),
    )
    staves = [
        (span.name, span.start.stave if span.start else 0, span.stop.stave if span.stop else 0)
        for span in score.parts[0].spans_of("hairpin")
    ]
    assert staves == [("crescendo", 1, 1), ("diminuendo", 2, 2)]


def test_a_tie_past_a_bar_is_kept_as_printed_and_reported() -> None:
    """The end may stand a bar too far on (the MusicXML test suite, 33i); farther on, it is torn."""
    start, stop = note("C", 4, '<tied type="start"/>'), note("C", 4, '<tied type="stop"/>')
    score = score_of_bars(start, note("C", 4, ""), stop)
    assert ends(score, "tie") == [("P1.0.0", "P1.2.0")]
    assert codes(score) == ["tie-over-notes"]
    score = score_of_bars(start, note("C", 4, ""), note("C", 4, ""), stop)
    assert codes(score) == ["tie-without-end", "tie-without-beginning"]
