"""Damaged scores: each fault is a problem with its place and its repair, and reading goes on."""

import time

import pytest

from redstave.reading import read_bytes
from tests.reading.inline import ATTRIBUTES, NOTE, codes, score_of_bars, xml_of_bars, xml_of_parts

WHOLE = NOTE.format("")
QUARTER = WHOLE.replace("<duration>4", "<duration>1")


@pytest.mark.parametrize(
    ("old", "new", "code"),
    [
        ("<divisions>1</divisions>", "", "no-divisions"),
        ("<divisions>1<", "<divisions>0<", "bad-divisions"),
        ("<divisions>1<", "<divisions>-4<", "bad-divisions"),
        ("<divisions>1<", "<divisions>many<", "bad-divisions"),
        ("<divisions>1<", "<divisions>1e999999999<", "bad-divisions"),
        ("<duration>4<", "<duration>-3<", "bad-duration"),
        ("<duration>4<", "<duration>long<", "bad-duration"),
        ("<duration>4<", "<duration><", "bad-duration"),
        ("<duration>4<", "<duration>25000000<", "endless-duration"),
        ("<duration>4</duration>", "", "no-duration"),
        ("<step>C<", "<step>H<", "bad-pitch"),
        ("<octave>5<", "<octave>high<", "bad-pitch"),
        ("<octave>5<", "<octave>99<", "bad-pitch"),
        ("</step>", "</step><alter>much</alter>", "bad-alter"),
        ("<pitch><step>C</step><octave>5</octave></pitch>", "", "no-pitch"),
        ("<note>", "<note><chord/>", "chord-without-note"),
        ("<voice>", "<staff>top</staff><voice>", "bad-stave"),
        ("<beats>4<", "<beats>0<", "bad-meter"),
        ("<beat-type>4<", "<beat-type>0<", "bad-meter"),
        ("<beats>4<", "<beats>x<", "bad-meter"),
        ("<fifths>0<", "<fifths>none<", "bad-key"),
        (
            "<type>",
            "<time-modification><actual-notes>0</actual-notes></time-modification><type>",
            "bad-tuplet",
        ),
        ("<type>", '<tie type="maybe"/><type>', "bad-type"),
        ("<voice>1</voice>", "<voice>1</voice><staff>2</staff>", "stave-not-announced"),
        ("<note>", "<backup><duration>9</duration></backup><note>", "backup-too-far"),
        ('number="1"', "", "no-bar-number"),
        ("<note>", "<nota/><note>", "unknown-element"),
        ("<clef>", "<transpose><chromatic>up</chromatic></transpose><clef>", "bad-transposition"),
        ("<clef>", "<staves>two</staves><clef>", "bad-stave"),
        ("<note>", "<sound tempo='fast'/><note>", "bad-tempo"),
        (
            "<note>",
            "<direction><direction-type><dynamics/></direction-type></direction><note>",
            "empty-level",
        ),
        (
            "<note>",
            "<direction><direction-type><wedge type='wide'/></direction-type></direction><note>",
            "bad-type",
        ),
        (
            "<note>",
            "<direction><direction-type><words>x</words></direction-type><offset>-2</offset>"
            "</direction><note>",
            "offset-outside-bar",
        ),
    ],
)
def test_each_fault_is_a_problem(old: str, new: str, code: str) -> None:
    """The fault is reported in one sentence with its line and bar, and the note is still there."""
    text = xml_of_bars(WHOLE).decode()
    assert text.count(old) >= 1
    score = read_bytes(text.replace(old, new, 1).encode(), "x.xml")
    found = [problem for problem in score.problems if problem.code == code]
    assert len(found) == 1
    assert found[0].line == 1
    assert found[0].bar == "1"
    assert found[0].text.endswith(".")
    assert len(score.parts[0].notes) == 1
    assert score.parts[0].notes[0].duration >= 0


def test_a_sound_file_has_no_problems() -> None:
    """The file that the faults above are made in has none."""
    assert score_of_bars(WHOLE).problems == ()


def test_a_chord_first_in_its_bar_keeps_all_its_notes() -> None:
    """Four notes that all say chord become a chord of four."""
    chord = WHOLE.replace("<note>", "<note><chord/>")
    score = score_of_bars(chord * 4)
    assert [note.chord for note in score.parts[0].notes] == [False, True, True, True]
    assert {note.offset for note in score.parts[0].notes} == {0}
    assert codes(score) == ["chord-without-note"]


def test_decimal_divisions_are_exact() -> None:
    """MusicXML's divisions are decimal numbers: 0.5 of a quarter to a division is a half note."""
    score = score_of_bars(
        WHOLE.replace("<duration>4", "<duration>2"),
        attributes=ATTRIBUTES.replace("<divisions>1", "<divisions>0.5"),
    )
    note = score.parts[0].notes[0]
    assert note.duration == 4 * score.ticks_per_quarter
    assert score.problems == ()


def test_divisions_may_change_and_differ_between_parts() -> None:
    """Ticks are a common multiple of all divisions, so that every duration stays whole."""

    def bar(divisions: int) -> str:
        attributes = ATTRIBUTES.replace("<divisions>1", f"<divisions>{divisions}")
        music = WHOLE.replace("<duration>4", f"<duration>{4 * divisions}")
        return f'<measure number="1">{attributes}{music}</measure>'

    score = read_bytes(xml_of_parts({"A": bar(6), "B": bar(8)}), "x.xml")
    assert score.ticks_per_quarter == 24
    assert {part.notes[0].duration for part in score.parts} == {96}


def test_divisions_beyond_reason_are_rounded_with_a_problem() -> None:
    """Divisions whose common multiple is too large are read with rounded durations."""

    def bar(divisions: int) -> str:
        attributes = ATTRIBUTES.replace("<divisions>1", f"<divisions>{divisions}")
        return f'<measure number="1">{attributes}{QUARTER * 4}</measure>'

    score = read_bytes(xml_of_parts({"A": bar(9973), "B": bar(9967)}), "x.xml")
    assert score.ticks_per_quarter <= 10_000_000
    assert "rounded-duration" in codes(score)


@pytest.mark.parametrize(
    ("bars", "expected"),
    [
        ((QUARTER, WHOLE, QUARTER * 3), []),  # upbeat, completed by the last bar
        ((WHOLE, QUARTER, QUARTER * 3, WHOLE), []),  # a bar divided by a repeat
        ((WHOLE, QUARTER, WHOLE), ["short-bar"]),
        ((WHOLE, WHOLE + QUARTER, WHOLE), ["overfull-bar"]),
        ((WHOLE, "", WHOLE), ["empty-bar"]),
    ],
)
def test_bars_that_do_not_fill_their_metre(bars: tuple[str, ...], expected: list[str]) -> None:
    """Upbeats and divided bars are silent; other bars of wrong length are problems."""
    assert codes(score_of_bars(*bars)) == expected


def test_the_longest_part_makes_the_bar() -> None:
    """Parts of unequal length stay together; who is short is told, and who ends early."""

    def part(*bars: str) -> str:
        return "".join(
            f'<measure number="{number}">{ATTRIBUTES if number == 1 else ""}{bar}</measure>'
            for number, bar in enumerate(bars, start=1)
        )

    score = read_bytes(
        xml_of_parts({"A": part(WHOLE, WHOLE, WHOLE), "B": part(QUARTER * 3, WHOLE)}), "x.xml"
    )
    assert [bar.start for bar in score.bars] == [0, 4, 8]
    assert [(problem.code, problem.part) for problem in score.problems] == [
        ("unequal-bar", "B"),
        ("part-ends-early", "B"),
    ]


def test_a_rest_does_not_lengthen_a_bar() -> None:
    """A rest that is too long is cut at the metre; a note that is too long is not."""
    long_rest = "<note><rest/><duration>16</duration></note>"
    rested = score_of_bars(long_rest, WHOLE)
    assert [bar.length for bar in rested.bars] == [4, 4]
    assert codes(rested) == ["overfull-bar"]
    sounded = score_of_bars(WHOLE + WHOLE, WHOLE)
    assert [bar.length for bar in sounded.bars] == [8, 4]


def test_parts_in_list_and_body_are_matched() -> None:
    """A part without bars, one that is not listed and one listed twice are kept and reported."""
    listed = "".join(
        f'<score-part id="{part}"><part-name>{part}</part-name></score-part>'
        for part in ("A", "A", "B")
    )
    bar = f'<measure number="1">{ATTRIBUTES}{WHOLE}</measure>'
    score = read_bytes(xml_of_parts({"A": bar, "C": bar}, listed), "x.xml")
    assert [part.name for part in score.parts] == ["A", "B", "C"]
    assert [len(part.notes) for part in score.parts] == [1, 0, 1]
    assert codes(score) == ["duplicate-part", "part-without-bars", "part-not-listed"]


def test_a_part_that_stands_twice_in_the_body_is_kept_twice() -> None:
    """Two parts with one id lose no note and share no id."""
    text = xml_of_parts({"A": f'<measure number="1">{ATTRIBUTES}{WHOLE}</measure>'}).decode()
    head, part, tail = text.partition('<part id="A">')
    body, end, tail = tail.partition("</part>")
    score = read_bytes((head + part + body + end + part + body + end + tail).encode(), "x.xml")
    assert len(score.notes_by_id) == 2
    assert codes(score) == ["duplicate-part", "part-not-listed"]


def test_brackets_of_parts_may_be_torn() -> None:
    """A bracket without end or beginning, or around nothing, is reported and harms nothing."""
    listed = (
        "<part-group type='stop' number='3'/><part-group type='start' number='1'/>"
        "<score-part id='A'><part-name>A</part-name></score-part>"
        "<part-group type='start' number='2'/>"
    )
    bar = f'<measure number="1">{ATTRIBUTES}{WHOLE}</measure>'
    score = read_bytes(xml_of_parts({"A": bar}, listed), "x.xml")
    assert [(group.first, group.last) for group in score.groups] == [("A", "A")]
    assert sorted(codes(score)) == [
        "empty-group",
        "group-without-beginning",
        "group-without-end",
        "group-without-end",
    ]


def test_misplaced_elements_do_no_harm() -> None:
    """A bar inside a bar, a part inside a bar and a head inside a bar lose no note beside them."""
    for intruder in ("<measure/>", "<part/>", "<part-list/>", "<work/>"):
        score = score_of_bars(QUARTER * 3 + intruder + QUARTER)
        assert len(score.parts[0].notes) == 4
        assert "misplaced-element" in codes(score)


def test_many_problems_of_one_kind_are_counted() -> None:
    """A thousand equal faults are a hundred problems and one that counts the rest."""
    score = score_of_bars(QUARTER.replace("<step>C", "<step>H") * 1000)
    found = [
        problem
        for problem in score.problems
        if "bad-pitch" in (problem.code, *problem.text.split("'"))
    ]
    assert len(found) == 101
    assert "900 more" in found[-1].text


@pytest.mark.parametrize("kinds", [("start", "stop"), ("stop", "start")])
@pytest.mark.parametrize("element", ["<slur type='{}'/>", "<tied type='{}'/>"])
def test_thousands_of_open_ends_take_linear_time(kinds: tuple[str, str], element: str) -> None:
    """Ten thousand ends that wait for another are read in the time of ten thousand notes."""
    note = QUARTER.replace("<type>", "<notations>{}</notations><type>")
    first, second = (note.format(element.format(kind)) * 10_000 for kind in kinds)
    started = time.process_time()
    score = score_of_bars(first + second)
    assert time.process_time() - started < 10.0
    assert len(score.parts[0].notes) == 20_000


def test_a_pitch_may_hold_comments_but_nothing_twice() -> None:
    """A comment in a pitch is none of our business; a second octave is a problem."""
    commented = WHOLE.replace("<octave>", "<!-- high --><octave>")
    score = score_of_bars(commented)
    assert (score.parts[0].notes[0].octave, score.problems) == (5, ())
    twice = score_of_bars(WHOLE.replace("</pitch>", "<octave>4</octave></pitch>"))
    assert (twice.parts[0].notes[0].octave, codes(twice)) == (4, ["repeated-element"])
