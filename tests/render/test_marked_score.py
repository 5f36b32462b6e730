"""The marked score: remarks at their notes, valid, and the page underneath as it was."""

import pytest
from lxml import etree

from redstave.model.finding import Spot
from redstave.model.letter import Letter
from redstave.model.same_page import same_page
from redstave.reading import read_bytes
from redstave.render.marked_score import LONGEST, marked_score
from redstave.writing.remarks import RED, is_remark, without_remarks
from tests.render.letters import analysis, bare, hostile, letter, many, remark
from tests.writing.schema import faults

SCORE = analysis().score


@pytest.mark.parametrize("one", [letter(), bare(), many(), hostile()])
def test_the_page_underneath_is_as_it_was(one: Letter) -> None:
    """Read again, and our words taken out, it is the very page; and the file is valid."""
    data = marked_score(one, SCORE)
    again = read_bytes(data, "marked.musicxml")
    assert same_page(without_remarks(again), SCORE)
    assert {problem.code for problem in again.problems} <= {one.code for one in SCORE.problems}
    assert faults(etree.fromstring(data)) == []
    numbers = {
        mark.text.partition("]")[0]
        for part in again.parts
        for mark in part.marks
        if is_remark(mark)
    }
    assert numbers == {f"[{number}" for number, _ in one.numbered}


def test_a_remark_stands_at_its_note_in_red() -> None:
    """Part, bar, beat and stave of the note; placement and colour; number and few words."""
    one = letter(
        remark(1, bar=1, text="The flute cannot be heard under the horns in this bar, alas.")
    )
    again = read_bytes(marked_score(one, SCORE), "marked.musicxml")
    (mark,) = (mark for part in again.parts for mark in part.marks if is_remark(mark))
    note = SCORE.notes_by_id["P1.1.0"]
    assert (mark.bar, mark.offset, mark.stave) == (note.bar, note.offset, note.stave)
    assert mark.id.startswith("P1.1.")
    assert (mark.kind, mark.placement) == ("word", "above")
    assert dict(mark.attributes)["color"] == RED
    assert mark.text.startswith("[1] The flute cannot be heard")
    assert mark.text.endswith("…")
    assert len(mark.text) <= LONGEST + len("[1] ")


def test_further_places_carry_the_number() -> None:
    """A remark on several places has its words at the first and its number at the others."""
    spots = tuple(Spot(bar, 0, part, 1, bar) for part, bar in (("P2", 3), ("P1", 1), ("P4", 1)))
    again = read_bytes(marked_score(letter(remark(1, spots=spots)), SCORE), "marked.musicxml")
    found = {
        (part.id, mark.bar): mark.text
        for part in again.parts
        for mark in part.marks
        if is_remark(mark)
    }
    assert found == {("P1", 1): "[1] The flute is lost here.", ("P4", 1): "[1]", ("P2", 3): "[1]"}


def test_a_remark_on_whole_bars_stands_over_the_page() -> None:
    """A place of no part is written over the uppermost stave where its bars begin."""
    one = letter(remark(1, spots=(Spot(2, 0, "", 0, 3),)))
    again = read_bytes(marked_score(one, SCORE), "marked.musicxml")
    found = [(p.id, m.bar, m.stave) for p in again.parts for m in p.marks if is_remark(m)]
    assert found == [("P1", 2, 1)]
