"""A file read with its text beside its tree, against the same file read by its tree alone."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given, settings

from redstave.base.errors import InputError
from redstave.model.score import Score
from redstave.reading import read_bytes, stream, xml_of
from redstave.reading.cut import UnsureError
from redstave.reading.source import Source
from tests.reading.inline import ATTRIBUTES, NOTE, score_of_bars, xml_of_bars
from tests.reading.test_mutation import STEPS, Change, mutated

WHOLE = NOTE.format("")
WORDS = "<direction><direction-type><words>x</words></direction-type></direction>"


def by_tree(data: bytes, name: str = "x.xml") -> Score | str:
    """Read a file without its text."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(stream, "_sources", lambda _root, _data: iter([None]))
        return outcome(data, name)


def outcome(data: bytes, name: str = "x.xml") -> Score | str:
    """Read a file; return its Score, or what is said instead."""
    try:
        return read_bytes(data, name)
    except InputError as error:
        return str(error)


@settings(max_examples=300)
@given(STEPS)
def test_damaged_files_say_the_same_by_text_and_by_tree(
    steps: list[tuple[Change, int, int, str]],
) -> None:
    """Whatever is deleted, doubled, moved, renamed or overwritten: equal Scores, equal errors."""
    data = mutated(steps)
    assert outcome(data) == by_tree(data)


@pytest.mark.corpus
@pytest.mark.parametrize(
    "file",
    [
        "shared-staves/Moniuszko_Polonez.musicxml",
        "orchestra/Mayer_Quartet_Op.14.mxl",
        "orchestra/Bruckner_WAB.105_3b_Trio.mxl",
    ],
)
def test_real_scores_say_the_same_by_text_and_by_tree(scores: Path, file: str) -> None:
    """Every note, mark, span, line and path of a real score; and the text was used."""
    data = xml_of((scores / file).read_bytes(), file)[0]
    assert len(left_of(data)) < 0.8 * len(data)
    assert outcome(data, file) == by_tree(data, file)


@pytest.mark.corpus
def test_suite_files_say_the_same_by_text_and_by_tree(scores: Path) -> None:
    """Every file of the MusicXML test suite, which has each mark once or twice."""
    files = sorted((scores / "suite").iterdir())
    assert len(files) > 100
    for path in files:
        data = path.read_bytes()
        assert outcome(data, path.name) == by_tree(data, path.name), path.name


def read_out(source: Source) -> bytes:
    """Return all that is left to the parser."""
    return b"".join(iter(lambda: source.read(1), b""))


def left_of(data: bytes) -> bytes:
    """Return what of a file is left to the parser; UnsureError if its text is not to be trusted."""
    return read_out(Source(data))


def bars_with(*bars: str) -> bytes:
    """Return the file of these bars."""
    return xml_of_bars(*bars)


@pytest.mark.parametrize(
    "bar",
    [
        WHOLE.replace("</note>", WHOLE + "</note>") + WHOLE,  # a note in a note
        f"<attributes>{WHOLE}</attributes><note/>",  # a note elsewhere, and an empty one
        WORDS.replace("</direction>", f"{WHOLE}</direction>") + "<note/>",
        f"{WORDS.replace('</direction>', WORDS + '</direction>')}{WHOLE}",
        f"<measure/>{WHOLE}",  # a bar in a bar
        WHOLE.replace("</note>", "<measure/></note>"),
        f"{WHOLE}<!-- <note> -->{WHOLE}<!--\n\n-->{WHOLE}",
        WHOLE.replace("<voice>", "<!-- low --><voice>") + WHOLE,
        WHOLE.replace("<pitch>", "<notations><slur type='start'/></notations><pitch>"),
        WHOLE.replace("</pitch>", "</pitch><pitch><step>D</step><octave>4</octave></pitch>"),
        WHOLE.replace("<note>", "<note attack='>'>") + WHOLE.replace("<note>", "<note attack='>'>"),
        WHOLE.replace("<note>", "<note\n default-x='3'\n>\n") * 2 + WORDS + WHOLE,
        WHOLE.replace("<step>C", "<step>H") + WHOLE.replace("<step>C", "\n<step>H"),
        WHOLE.replace("<note>", "<note><chord/>\n") + WHOLE.replace("<step>C", "\n<step>H") * 2,
        WHOLE.replace("<voice>", "<staff>x</staff>\n<voice>") * 3,
        f"{WHOLE}<?sound off?>{WHOLE}",
        f"{WHOLE}<![CDATA[<note>]]>{WHOLE}",
        WHOLE.replace("<type>", "<notations><dynamics><f/></dynamics></notations>\n<type>") * 2,
    ],
)
def test_what_is_not_side_by_side_says_the_same(bar: str) -> None:
    """Nested, empty, misplaced and commented elements: the text helps, or the tree is read."""
    for data in (bars_with(bar), bars_with(WHOLE, bar, bar, WORDS + WHOLE)):
        assert outcome(data) == by_tree(data)


def test_an_error_in_the_file_is_told_by_its_own_line() -> None:
    """The parser is given less than the file, but what it says is said of the file."""
    text = bars_with(WHOLE * 3, WHOLE).decode()
    data = (text[: text.rfind("<duration>")] + "<duration" + text[-30:]).encode()
    assert "not well-formed" in str(outcome(data))
    assert outcome(data) == by_tree(data)


def test_equal_notes_are_left_to_the_parser_once() -> None:
    """Of a hundred equal notes the parser sees one; the lines stay."""
    lines = WHOLE.replace("><", ">\n<")
    data = bars_with(lines * 50, lines * 50)
    left = left_of(data)
    assert left.count(b"<note>") == 1
    assert left.count(b"<duration>") == 1
    assert left.count(b"\n") == data.count(b"\n")
    notes = score_of_bars(lines * 50, lines * 50).parts[0].notes
    assert [note.line for note in notes][:2] == [1, 1 + lines.count("\n")]


def test_notes_and_directions_drawn_elsewhere_are_left_to_the_parser_once() -> None:
    """Each keeps its own places; the parser sees one text of them all."""
    dots = [f'<notations><tied type="start" default-y="{n}.5"/></notations>' for n in range(40)]
    words = WORDS.replace("<words>", '<words default-x="{}">')
    bar = "".join(
        words.format(n)
        + WHOLE.replace("</note>", f"{dot}</note>").replace("<note>", f"<note{own}>")
        for n, dot in enumerate(dots)
        for own in (f' default-x="{n}" default-y="-{n}"',)
    )
    left = left_of(bars_with(bar))
    assert (left.count(b"<words"), left.count(b"<notations>")) == (1, 1)
    part = score_of_bars(bar).parts[0]
    drawn = [dict(mark.attributes)["default-x"] for mark in part.marks_of("word")]
    assert drawn == [str(n) for n in range(40)]
    assert [note.details[:2] for note in part.notes] == [
        (("default-x", str(n)), ("default-y", f"-{n}")) for n in range(40)
    ]


def test_bars_of_known_notes_are_not_left_to_the_parser() -> None:
    """They are read from their text: number, line and notes."""
    data = bars_with(*[WHOLE] * 20)
    assert left_of(data).count(b"<measure") == 1  # the first, whose note is new
    score = score_of_bars(*[WHOLE] * 20)
    assert [bar.number for bar in score.bars] == [str(n) for n in range(1, 21)]
    assert [note.bar for note in score.parts[0].notes] == list(range(20))


BACK = "<backup>\n<duration>4</duration>\n</backup>"
ON = "<forward><duration>2</duration></forward>"


def test_bars_with_known_directions_and_moves_are_not_left_to_the_parser() -> None:
    """Whether directions stand before or behind notes, and however the bar goes back and on."""
    bars = WORDS + WHOLE + WORDS, WORDS + WHOLE, WHOLE + BACK + ON + WHOLE
    assert left_of(bars_with(*bars, *bars)).count(b"<measure") == 1
    part = score_of_bars(*bars).parts[0]
    words = [(mark.bar, mark.path) for mark in part.marks if mark.name == "words"]
    assert words == [(0, "2.1.1"), (0, "4.1.1"), (1, "1.1.1")]
    notes = [(note.bar, note.offset, note.path) for note in part.notes]
    assert notes == [(0, 0, "3"), (1, 0, "2"), (2, 0, "1"), (2, 2, "4")]


@pytest.mark.parametrize(
    "bar",
    [
        WORDS + WHOLE + BACK + WHOLE.replace("whole", "half"),
        WHOLE + BACK + ON + "<barline/>" + WHOLE,
        WHOLE + "<backup><duration>9</duration></backup>" + WORDS + WHOLE + "<print/>",
        WHOLE + BACK + WORDS.replace("words", "rehearsal") + WHOLE,
        WHOLE + "<backup><duration> 4</duration></backup>" + WHOLE,
        WHOLE + BACK + "behind" + WHOLE,
    ],
)
def test_what_was_held_back_is_left_where_something_new_stands_behind_it(bar: str) -> None:
    """Where a bar has begun with what is known; also the lines of its problems are the same."""
    data = bars_with(WORDS + WHOLE, bar, WORDS + WHOLE)
    left_of(data)
    assert outcome(data) == by_tree(data)


@pytest.mark.parametrize(
    "head",
    [
        "<?xml version='1.0'?><!DOCTYPE score-partwise [<!ENTITY a 'b'>]><score-partwise>",
        "<?xml version='1.0'?><?style none?><score-partwise>",
        "<score-timewise>",
        "<s:score-partwise xmlns:s='http://s'>",
    ],
)
def test_other_heads_are_left_to_the_tree(head: str) -> None:
    """What may change the meaning of a tag is no file whose text can be trusted."""
    with pytest.raises(UnsureError):
        left_of(f"{head}<part id='P1'><measure number='1'>{ATTRIBUTES}".encode())


def test_a_part_without_bars_is_left_to_the_tree() -> None:
    """It would shift the bars of the parts behind it."""
    data = bars_with(WHOLE).replace(b"<part id", b"<part id='x'/><part id", 1)
    assert outcome(data) == by_tree(data)


def _texts(data: bytes) -> Iterator[tuple[int, int]]:
    source = Source(data)
    read_out(source)
    for bars in source.next_part():
        for bar in bars:
            runs = [item for item in bar[2] if isinstance(item, list)]
            yield sum(map(len, runs)), len(bar[2]) - len(runs)


def test_bars_know_their_notes_and_directions() -> None:
    """Also where notes are none, and directions stand before, between and behind them.

    What stands beside notes counts the attributes of the first bar too.
    """
    data = bars_with(WORDS + WHOLE + WORDS + WORDS + WHOLE + WORDS, "", WORDS, WHOLE)
    assert list(_texts(data)) == [(2, 5), (0, 0), (0, 1), (1, 0)]
