"""Properties that hold for every damaged file: a Score with problems or one InputError."""

import contextlib
import time
from collections.abc import Callable

from hypothesis import given, settings
from hypothesis import strategies as st
from lxml import etree

from redstave.base.errors import InputError
from redstave.model.score import Score
from redstave.reading import counts, read_bytes
from redstave.reading.tiny import to_musicxml

SOURCE = """
title: Study
key: -2
tempo: 84 "Andante"
pitch: sounding

part Flute 1. 2 | abbr=Fl. | group=Woodwind
p < C5/4( D5 E5) r | [C5 E5]/2~:accent [C5 E5]/2 = |
mf "a 2" ^G4 A4/8:staccato {3:2 B4 C5 D5} E5/4. r/4 |
part Horn in F | transpose=-7 | group=Woodwind
f C4/1:tremolo3 | R | E4/2 F4 & r/1 |
part Piano | staves=2
R | C5/2 E5 // C3/1 | R |
"""
VALUES = st.sampled_from(
    ["", "0", "-1", "x", "1e400", "9" * 30, "start", "stop", "4", "0.5", "1/0", "\ue520", "NaN"]
)
Change = Callable[[etree._Element, int, int, str], None]


def _delete(root: etree._Element, first: int, _second: int, _value: str) -> None:
    element = _pick(root, first)
    parent = element.getparent()
    if parent is not None:
        parent.remove(element)


def _duplicate(root: etree._Element, first: int, _second: int, _value: str) -> None:
    element = _pick(root, first)
    parent = element.getparent()
    if parent is not None:
        parent.insert(parent.index(element), etree.fromstring(etree.tostring(element)))


def _move(root: etree._Element, first: int, second: int, _value: str) -> None:
    element, goal = _pick(root, first), _pick(root, second)
    if element is not root and element not in goal.iterancestors() and goal is not element:
        goal.append(element)


def _set_text(root: etree._Element, first: int, _second: int, value: str) -> None:
    _pick(root, first).text = value


def _set_attribute(root: etree._Element, first: int, second: int, value: str) -> None:
    names = ["type", "number", "id", "implicit", "direction", "location", "print-object"]
    _pick(root, first).set(names[second % len(names)], value)


def _rename(root: etree._Element, first: int, second: int, _value: str) -> None:
    element = _pick(root, first)
    if element is not root:
        element.tag = _pick(root, second).tag


def _pick(root: etree._Element, number: int) -> etree._Element:
    elements = list(root.iter(etree.Element))
    return elements[number % len(elements)]


CHANGES: list[Change] = [_delete, _duplicate, _move, _set_text, _set_attribute, _rename]
STEPS = st.lists(
    st.tuples(
        st.sampled_from(CHANGES),
        st.integers(0, 10_000),
        st.integers(0, 10_000),
        VALUES,
    ),
    min_size=1,
    max_size=6,
)


def mutated(steps: list[tuple[Change, int, int, str]]) -> bytes:
    """Return the study with these changes made in its tree."""
    root = etree.fromstring(to_musicxml(SOURCE))
    for change, first, second, value in steps:
        change(root, first, second, value)
    return etree.tostring(root)


@settings(max_examples=300)
@given(STEPS)
def test_changed_scores_never_crash(steps: list[tuple[Change, int, int, str]]) -> None:
    """Deleting, doubling, moving, renaming and overwriting elements gives a Score or an InputError.

    And the Score keeps its promises: unique ids, no negative time, spans with an end, every note of
    the file in its place.
    """
    data = mutated(steps)
    started = time.process_time()
    with contextlib.suppress(InputError):
        score = read_bytes(data, "x.xml")
        check_promises(score)
        assert read_bytes(data, "x.xml") == score
    assert time.process_time() - started < 4.0


def check_promises(score: Score) -> None:
    """Check what every Score promises."""
    notes = [note for part in score.parts for note in part.notes]
    marks = [mark for part in score.parts for mark in part.marks]
    spans = [span for part in score.parts for span in part.spans]
    for things in (notes, marks, spans):
        assert len({thing.id for thing in things}) == len(things)
    assert all(note.offset >= 0 and note.duration >= 0 for note in notes)
    assert all(0 <= note.bar < len(score.bars) for note in notes)
    assert all(mark.offset >= 0 for mark in marks)
    assert all(span.start or span.stop for span in spans)
    assert all(bar.length > 0 for bar in score.bars)
    assert all(value >= 0 for value in counts(score).values())
    named = {problem.code for problem in score.problems}
    torn = {span.kind for span in spans if span.start is None or span.stop is None}
    assert all(any(code.startswith(f"{kind}-without") for code in named) for kind in torn)


@settings(max_examples=150)
@given(st.integers(0, 20_000), st.binary(max_size=4), st.integers(0, 40))
def test_changed_bytes_never_crash(place: int, inserted: bytes, removed: int) -> None:
    """Bytes put in, taken out or overwritten anywhere give a Score or an InputError."""
    data = to_musicxml(SOURCE)
    place %= len(data)
    with contextlib.suppress(InputError):
        check_promises(read_bytes(data[:place] + inserted + data[place + removed :], "x.xml"))


@settings(max_examples=150)
@given(st.text(alphabet='|:[]{}()<>=~^&/*RrsABCb#45128p"@%. \n', max_size=60))
def test_no_text_crashes_the_tiny_notation(text: str) -> None:
    """Any text is a tiny score that can be read, or an InputError."""
    with contextlib.suppress(InputError):
        check_promises(read_bytes(f"part Flute\n{text}".encode(), "x.tiny"))
