"""Remarks on real pages: the page underneath survives, the file is valid, music21 reads both."""

import random
from pathlib import Path

import pytest
from lxml import etree

from redstave.model.finding import Spot
from redstave.model.same_page import same_page
from redstave.model.score import Score
from redstave.reading import read, read_bytes
from redstave.writing import to_musicxml
from redstave.writing.remarks import MARK, Pencilled, is_remark, with_remarks, without_remarks
from tests.writing.schema import faults
from tests.writing.test_round_trip import COMPARED, KEPT_INVALID, files, heard

LARGEST = 30_000  # bytes: of larger files only these are taken, to save time
REAL = ("Bruckner_WAB.105_3b_Trio.mxl", "Mayer_Quartet_Op.14.mxl")
TEXTS = ('pizz. p, then "arco" <f> & more', "a 2", "Andante", "[x]", "mf", "ritardando – 🎻 جيد")


def scattered(score: Score, seed: int = 1, count: int = 20) -> list[Pencilled]:
    """Return remarks on random places of a score: notes, rests, middles of bars, all staves."""
    rng = random.Random(seed)
    found = [Pencilled(1, "Of the whole.", ())]
    for number in range(2, count + 2):
        spots = []
        for _ in range(rng.randint(1, 3)):
            part, bar = rng.choice(score.parts), rng.randrange(len(score.bars))
            notes = [note.id for note in part.notes if note.bar == bar]
            chosen = (rng.choice(notes),) if notes and rng.random() < 0.6 else ()
            offset = rng.choice([0, 1, score.bars[bar].length // 2, score.bars[bar].length])
            spots.append(Spot(bar, offset, part.id, rng.randint(1, part.staves), bar, chosen))
        found.append(Pencilled(number, rng.choice(TEXTS), tuple(spots)))
    return found


def written(score: Score) -> int:
    """Return how many remarks are on a page."""
    return sum(is_remark(mark) for part in score.parts for mark in part.marks)


@pytest.mark.corpus
def test_every_real_page_survives_its_remarks(scores: Path) -> None:
    """Read again without our words, every real score is the page it was; nothing new is wrong.

    The W3C's schema finds no fault that the score written without remarks would not have.
    """
    seen = 0
    for path in files(scores):
        if path.stat().st_size > LARGEST and path.name not in REAL:
            continue
        score = read(path)
        if not score.parts or not score.bars:
            continue
        seen += 1
        marked = with_remarks(score, scattered(score))
        data = to_musicxml(marked)
        again = read_bytes(data, "marked.musicxml")
        added = sum(mark.id.startswith(MARK) for part in marked.parts for mark in part.marks)
        assert written(again) == added > 0, path.name
        assert same_page(without_remarks(again), score), path.name
        assert {one.code for one in again.problems} <= {one.code for one in score.problems}
        wrong = [one for one in faults(etree.fromstring(data)) if not one.startswith(KEPT_INVALID)]
        assert wrong == [], path.name
    assert seen > 90


@pytest.mark.corpus
@pytest.mark.filterwarnings("ignore::Warning")
@pytest.mark.parametrize("name", COMPARED[2:6])
def test_music21_reads_the_same_music_and_our_words(scores: Path, name: str) -> None:
    """Notes and marks are as before for an independent reader, and our words are there."""
    score = read(scores / name)
    remarks = scattered(score)
    before, after = (heard(to_musicxml(one)) for one in (score, with_remarks(score, remarks)))
    assert after[0] == before[0]
    new = after[1] - before[1]
    assert not before[1] - after[1]
    assert set(new) == {one for one in new if one.startswith("words [")}
    assert sum(new.values()) == written(read_bytes(to_musicxml(with_remarks(score, remarks)), "x"))


def test_remarks_at_one_place_stand_above_each_other() -> None:
    """The second remark at a place is raised, so that it does not cover the first."""
    score = read_bytes(b"part Flute\np C5/1 |.\n", "small.tiny")
    spot = Spot(0, 0, "P1", 1, 0)
    marked = with_remarks(score, [Pencilled(n, "Here.", (spot,)) for n in (1, 2, 3)])
    added = [mark for mark in marked.parts[0].marks if mark.id.startswith(MARK)]
    raised = [float(dict(mark.attributes).get("relative-y", "0")) for mark in added]
    assert raised == sorted(set(raised))
    assert raised[0] == 0.0


def test_marking_twice_and_cleaning_gives_the_page() -> None:
    """A page that comes back with remarks on it can be marked again, and cleaned."""
    score = read_bytes(b"part Flute\np C5/2 D5 | E5/1 |.\n", "small.tiny")
    once = read_bytes(to_musicxml(with_remarks(score, scattered(score, 1))), "once.musicxml")
    clean = without_remarks(once)
    twice = read_bytes(to_musicxml(with_remarks(clean, scattered(clean, 2))), "twice.musicxml")
    assert same_page(without_remarks(twice), score)
