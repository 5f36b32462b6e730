"""What is written is read back: every real score, the schema of the W3C, and music21.

Equality is `redstave.model.same_page`; beside it, a count of all elements of the two files that
knows nothing of our reader or writer.
"""

from collections import Counter
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path

import pytest
from lxml import etree

from redstave.model.same_page import page_of, same_page
from redstave.model.score import Score
from redstave.reading import read, read_bytes, xml_of
from redstave.writing import to_musicxml
from redstave.writing.ids import WITH_ID
from tests.writing.schema import elements_with_id, faults

SUFFIXES = (".mxl", ".musicxml", ".xml")
LARGE = 400_000  # bytes
KEPT_INVALID = (
    "Element 'accidental-mark', attribute 'cautionary': The attribute 'cautionary' is not"
)
FOLDERS = ("suite", "pairs", "shared-staves", "orchestra")

# How the file gets from place to place and into how many parts it divides a quarter is its own
# affair; a voice and a stave that go without saying may be said.
MOVING = frozenset(["duration", "divisions", "backup", "forward", "offset", "voice", "staff"])
# Ids are ours, the version is the newest, and the number of the one tuplet or line that is open
# goes without saying. `measure="no"` on a rest says nothing.
UNSAID = frozenset([("number", "1"), ("measure", "no")])
# What our files say and the source does not: the program that wrote the file; the tie of playback
# beside the printed one; a barline, attributes, ornaments, a voice that held nothing, so that they
# can be gone; and the name of a part that the list of parts did not name.
SAID_MORE = frozenset(
    ["encoding", "software", "identification", "tie", "attributes", "score-part", "part-name"]
)
SAID_LESS = frozenset(["attributes", "ornaments", "bar-style"])


def files(scores: Path) -> list[Path]:
    """Return every score of the corpus."""
    found = [path for folder in FOLDERS for path in sorted((scores / folder).iterdir())]
    return [path for path in found if path.suffix in SUFFIXES]


def elements(root: etree._Element) -> Counter[tuple[str, str, frozenset[tuple[str, str]], str]]:
    """Count every element with the one around it, its attributes and its text."""
    found: Counter[tuple[str, str, frozenset[tuple[str, str]], str]] = Counter()
    for element in root.iterdescendants(etree.Element):
        around = element.getparent()
        if element.tag in MOVING or around is None or around.tag in MOVING:
            continue
        said = frozenset(item for item in element.items() if item[0] != "id" and item not in UNSAID)
        text = "" if len(element) else (element.text or "").strip()
        found[str(around.tag), str(element.tag), said, text] += 1
    return found


def names(difference: Counter[tuple[str, str, frozenset[tuple[str, str]], str]]) -> set[str]:
    """The names of the elements in a difference of counts."""
    return {name for _, name, _, _ in difference}


@dataclass
class Trip:
    """What became of a file that was read, written and read again."""

    is_same: bool
    lost: set[str]
    added: set[str]
    new_problems: set[str]
    faults: set[str]
    faults_of_source: set[str]


def travelled(path: Path) -> Trip:
    """Read a file, write it, read that."""
    score = read(path)
    written = to_musicxml(score)
    again = read_bytes(written, "written.musicxml")
    problems = {one.code for one in again.problems} - {one.code for one in score.problems}
    done = Trip(same_page(score, again), set(), set(), problems, set(), set())
    if path.stat().st_size < LARGE:
        source = etree.fromstring(xml_of(path.read_bytes(), path.name)[0])
        target = etree.fromstring(written)
        theirs, ours = elements(source), elements(target)
        done.lost, done.added = names(theirs - ours), names(ours - theirs)
        done.faults = set(faults(target))
        done.faults_of_source = set(faults(source)) if done.faults else set()
    return done


def wrong(done: Trip) -> list[str]:
    """What must not have become of a file."""
    unkept = [fault for fault in done.faults if not fault.startswith(KEPT_INVALID)]
    return [
        *([] if done.is_same else ["another page"]),
        *(f"lost: {name}" for name in done.lost - SAID_LESS),
        *(f"added: {name}" for name in done.added - SAID_MORE),
        *(f"new problem: {code}" for code in done.new_problems),
        *unkept,
        *(done.faults - done.faults_of_source),
    ]


@pytest.mark.corpus
def test_every_real_score_survives(scores: Path) -> None:
    """Every real score is the same page after it has been written, and its file is valid.

    Every element of the source, with attributes and text, is in what we write, and no other; the
    reader meets no kind of problem there that the source did not have; the W3C's schema finds no
    fault but one that the source has too: an attribute that MusicXML gives no element of this name,
    which is kept rather than dropped. The trees of the largest files are not gone through, to save
    time.
    """
    done = {path.name: travelled(path) for path in files(scores)}
    assert len(done) > 100
    assert any(one.faults for one in done.values())
    assert {name: found for name, one in done.items() if (found := wrong(one))} == {}


@pytest.mark.corpus
@pytest.mark.parametrize(
    "name", ["suite/31a-Directions.xml", "pairs/Chopin_Op.21_1_bars1-70_piano.musicxml"]
)
def test_writing_again_changes_nothing(scores: Path, name: str) -> None:
    """What has been written once is written again byte by byte; the same score, the same bytes."""
    score = read(scores / name)
    written = to_musicxml(score)
    assert to_musicxml(score) == written
    assert to_musicxml(read_bytes(written, "written.musicxml")) == written


@pytest.mark.corpus
def test_ids_lead_from_the_file_to_the_score(scores: Path) -> None:
    """Every id in the file is unique, and those of notes, marks and spans are the Score's own."""
    score = read(scores / "orchestra" / "Bruckner_WAB.105_3b_Trio.mxl")
    root = etree.fromstring(to_musicxml(score))
    given = [
        (element.tag, element.get("id"))
        for element in root.iter(etree.Element)
        if element.get("id")
    ]
    pointing = ("part", "instrument", "midi-instrument", "midi-device")
    declared = [name for tag, name in given if tag not in pointing]
    assert len(declared) == len(set(declared))
    notes = [name for tag, name in given if tag == "note"]
    assert notes == [note.id for part in score.parts for note in part.notes]
    slurs = {name for tag, name in given if tag == "slur"}
    assert slurs == {span.id for part in score.parts for span in part.spans_of("slur")}
    words = {name for tag, name in given if tag == "words"}
    assert words == {mark.id for part in score.parts for mark in part.marks_of("word")}


def test_ids_stand_where_the_standard_has_them() -> None:
    """Each kind of element that we give an id has one in the W3C's schema."""
    assert sorted(WITH_ID - elements_with_id()) == []


# music21 reads both files and knows nothing of ours.

COMPARED = (
    "orchestra/Mayer_Quartet_Op.14.mxl",
    "orchestra/Bruckner_WAB.105_3b_Trio.mxl",
    "pairs/Chopin_Op.21_1_bars1-70_piano.musicxml",
    "suite/03b-Rhythm-Backup.xml",
    "suite/23d-Tuplets-Nested.xml",
    "suite/24a-GraceNotes.xml",
    "suite/31a-Directions.xml",
    "suite/33a-Spanners.xml",
    "suite/43d-MultiStaff-StaffChange.xml",
    "suite/72a-TransposingInstruments.xml",
)


def heard(data: bytes) -> tuple[Counter[object], Counter[str]]:
    """Notes (part, onset, pitch, length) and counts of marks, as music21 reads a file."""
    music21 = pytest.importorskip("music21")
    score = music21.converter.parseData(data, format="musicxml", forceSource=True)
    notes: Counter[object] = Counter()
    marks: Counter[str] = Counter()
    for number, part in enumerate(score.parts):
        for element in part.recurse():
            if "NotRest" in element.classes:
                onset = Fraction(element.getOffsetInHierarchy(part))
                for pitch in element.pitches:
                    length = Fraction(element.duration.quarterLength)
                    notes[number, onset, str(pitch), length, element.duration.isGrace] += 1
                marks.update(f"{one.name}" for one in element.articulations)
                marks.update(f"{one.name}" for one in element.expressions)
            elif "Dynamic" in element.classes:
                marks[f"dynamic {element.value} {element.offset}"] += 1
            elif "TextExpression" in element.classes:
                marks[f"words {element.content}"] += 1
            elif "Spanner" in element.classes:
                marks[f"{type(element).__name__} {len(element)}"] += 1
            elif "Clef" in element.classes or "KeySignature" in element.classes:
                marks[str(element)] += 1
    return notes, marks


@pytest.mark.corpus
@pytest.mark.filterwarnings("ignore::Warning")
@pytest.mark.parametrize("name", COMPARED)
def test_music21_reads_the_same_from_both_files(scores: Path, name: str) -> None:
    """Pitch, onset and length of every note, levels, slurs, words, articulations: all the same."""
    path = scores / name
    xml = xml_of(path.read_bytes(), path.name)[0]
    theirs, ours = heard(xml), heard(to_musicxml(read(path)))
    assert sum(theirs[0].values()) > 0
    assert ours == theirs


def test_a_difference_is_seen() -> None:
    """One level, one id, one line more: the first is another page, the others are not."""
    score = read_bytes(b"part Flute\np C5/1 |.\n", "small.tiny")
    (part,) = score.parts
    (level,) = part.marks_of("level")
    louder = tuple(mark._replace(name="f") if mark is level else mark for mark in part.marks)
    moved = tuple(note._replace(line=note.line + 7, path="99") for note in part.notes)
    assert not same_page(score, with_part(score, marks=louder))
    assert same_page(score, with_part(score, notes=moved))
    assert page_of(score).origin.name == ""


def with_part(score: Score, **changes: object) -> Score:
    """Return a score of one part with that part changed."""
    return replace(score, parts=(replace(score.parts[0], **changes),))
