"""What holds for every score, however small, strange or damaged: it comes back as the same page."""

import contextlib
from collections import Counter
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from lxml import etree

from redstave.base.errors import InputError
from redstave.model.same_page import page_of
from redstave.model.score import Part, Score, Span
from redstave.reading import counts, read_bytes
from redstave.writing import to_musicxml
from tests.reading.test_mutation import STEPS, Change, mutated
from tests.writing.schema import faults

CELLS = st.sampled_from(
    [
        *(
            "C5/4",
            "F#4/8 G4",
            "r/4",
            "s/4",
            "[C4 E4 G4]/4",
            "{3:2 A4/8 B4 C5}",
            "^D5 C5/4",
            "Bb3/8. A3/16",
        ),
        *("E5/4:accent:staccato", "D5/4:trill-mark", "G4/4:tremolo3", "A4/4:up-bow:fermata"),
        *("C4/4:harmonic", "B4/4:arpeggiate", "A4/4:let-ring", "G4/4:cue", "F4/4:diamond"),
        *(
            "< G4/4 =",
            "> A4/8 B4 =",
            "G4/8( A4)",
            "C5/8~ C5",
            "D5/8:gliss E5",
            "{3:2 ^C5 D5/8 r E5:tenuto}",
        ),
    ]
)
SIGNS = st.sampled_from(
    [
        *("", "", "", "p", "mf", "sfz", '"pizz."', '_"sotto"', '!"Largo"', "%72"),
        *("@B", "clef:bass", "clef:alto"),
    ]
)
BEATS = st.lists(st.tuples(SIGNS, CELLS), min_size=4, max_size=4)
VOICES = st.lists(BEATS, min_size=1, max_size=2)
BARS = st.one_of(st.just("R"), VOICES)
TWO_STAVES = "Harp | staves=2 | clef=treble,bass"
PARTS = st.sampled_from(
    [
        "Flute 1. 2 | abbr=Fl. | group=Woodwind",
        "Clarinet in B flat | transpose=-2 | group=Woodwind",
        "Viola | clef=alto | sound=strings.viola",
        "Triangle | clef=percussion",
        TWO_STAVES,
    ]
)


@st.composite
def tiny_scores(draw: st.DrawFn) -> str:
    """A score in tiny notation: up to three parts of up to three bars, one or two voices each."""
    bars = draw(st.integers(1, 3))
    ends = ["||", "|.", ":|", "|", "|"]
    right = [draw(st.sampled_from(ends)) for _ in range(bars)]
    text = f'title: Étude & "più"\nkey: {draw(st.integers(-4, 4))}\ntempo: 84 "Andante"\n'
    for _ in range(draw(st.integers(1, 3))):
        part = draw(PARTS)
        text += f"part {part}\n"
        for end in right:
            staves = [bar_text(draw(BARS)) for _ in range(1 + (part == TWO_STAVES))]
            text += f"{' // '.join(staves)} {end}\n"
    return text


def bar_text(bar: str | list[list[tuple[str, str]]]) -> str:
    """One bar in tiny notation."""
    if isinstance(bar, str):
        return bar
    return " & ".join(" ".join(f"{sign} {cell}" for sign, cell in voice) for voice in bar)


def written_and_read(score: Score) -> Score:
    """Return a score after it has been written and read."""
    return read_bytes(to_musicxml(score), "written.musicxml")


@settings(max_examples=80)
@given(tiny_scores())
def test_every_small_score_comes_back(text: str) -> None:
    """A random small score is the same page after writing, and its file is valid MusicXML 4.0."""
    score = read_bytes(text.encode(), "x.tiny")
    assert page_of(written_and_read(score)) == page_of(score)
    assert faults(etree.fromstring(to_musicxml(score))) == []


@settings(max_examples=250)
@given(STEPS)
def test_damaged_scores_come_back(steps: list[tuple[Change, int, int, str]]) -> None:
    """What could be read of a damaged file is written and read as the same page."""
    with contextlib.suppress(InputError):
        score = read_bytes(mutated(steps), "x.xml")
        assert page_of(written_and_read(score)) == page_of(score)


# The suite's files with the rarest elements.
RICH = (
    "31a-Directions.xml",
    "32a-Notations.xml",
    "33a-Spanners.xml",
    "23d-Tuplets-Nested.xml",
    "46h-Barline-Fermata.xml",
    "61b-MultipleLyrics.xml",
    "71a-Chordnames.xml",
    "72a-TransposingInstruments.xml",
)


@pytest.mark.corpus
@settings(max_examples=100)
@given(name=st.sampled_from(RICH), steps=STEPS)
def test_damaged_files_of_the_suite_come_back(
    scores: Path, name: str, steps: list[tuple[Change, int, int, str]]
) -> None:
    """So is what could be read of files that hold every element there is."""
    root = etree.parse(scores / "suite" / name).getroot()
    for change, first, second, value in steps:
        change(root, first, second, value)
    with contextlib.suppress(InputError):
        score = read_bytes(etree.tostring(root), "x.xml")
        assert page_of(written_and_read(score)) == page_of(score)


def from_no_file(part: Part) -> Part:
    """Return a part as if it had been made by hand: without what only a file tells."""
    return replace(
        part,
        notes=tuple(note._replace(path="", shape=(), inside=(), line=0) for note in part.notes),
        marks=tuple(mark._replace(path="", inside=(), line=0) for mark in part.marks),
        spans=tuple(map(without_paths, part.spans)),
        heading=(),
        bar_attributes=(),
        bar_contents=(),
    )


def without_paths(span: Span) -> Span:
    """Return a span whose ends do not know where in a file they stood."""
    start, stop = (end and end._replace(path="", line=0) for end in (span.start, span.stop))
    return span._replace(start=start, stop=stop, inside=())


@settings(max_examples=80)
@given(tiny_scores())
def test_scores_made_by_hand_can_be_written(text: str) -> None:
    """A Score that has come from no file is written validly, and every note and mark is read back.

    Notes stand in their order, marks at their places; in which order those stand that belong to one
    place is free.
    """
    whole = read_bytes(text.encode(), "x.tiny")
    score = replace(whole, parts=tuple(map(from_no_file, whole.parts)), head=())
    again = written_and_read(score)
    assert faults(etree.fromstring(to_musicxml(score))) == []
    assert counts(again) == counts(score)
    for ours, theirs in zip(score.parts, page_of(again).parts, strict=True):
        assert theirs.notes == page_of(score).parts[score.parts.index(ours)].notes
        assert places(theirs) == places(ours)
        assert (theirs.name, theirs.abbreviation) == (ours.name, ours.abbreviation)


def places(part: Part) -> Counter[object]:
    """Count marks and spans by what they are and where they stand."""
    found: Counter[object] = Counter(
        (mark.kind, mark.name, mark.bar, mark.offset, mark.stave, mark.text, mark.value, mark.note)
        for mark in part.marks
    )
    for span in part.spans:
        ends = [
            end and (end.bar, end.offset, end.stave, end.note) for end in (span.start, span.stop)
        ]
        found[span.kind, span.name, *ends] += 1
    return found


@pytest.mark.parametrize("letter", ["\x00", "\x0b", "\ufffe", "\ud800"])
def test_characters_that_no_xml_holds_are_refused(letter: str) -> None:
    """A text with such a character is refused in one sentence that names it."""
    score = read_bytes(b"part Flute\nC5/1 |.\n", "x.tiny")
    with pytest.raises(InputError, match=f"U\\+{ord(letter):04X}"):
        to_musicxml(replace(score, title=f"a{letter}b", head=()))


@given(st.text(st.characters(exclude_categories=["Cs", "Cc"], exclude_characters="\ufffe\uffff")))
def test_every_text_comes_back(text: str) -> None:
    """Words of any characters, markup and line breaks included, are read as they were written."""
    score = read_bytes(b'part Flute\n"x" C5/1 |.\n', "x.tiny")
    marks = tuple(
        mark._replace(text=f"<&\"'>\t\r\n{text}") if mark.kind == "word" else mark
        for mark in score.parts[0].marks
    )
    changed = replace(score, parts=(replace(score.parts[0], marks=marks),))
    (word,) = written_and_read(changed).parts[0].marks_of("word")
    assert word.text == f"<&\"'>\t\r\n{text}"
