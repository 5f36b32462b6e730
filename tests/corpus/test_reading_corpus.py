"""The reader against real scores, plain counts of their XML, and music21.

The plain count below knows nothing of the reader: it walks the whole tree with lxml.
"""

import zipfile
from collections import Counter
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from lxml import etree

from redstave.model.score import Score
from redstave.reading import account_of, counts, read, xml_of
from tests.reading.ways_back import astray

pytestmark = pytest.mark.corpus
SUFFIXES = (".mxl", ".musicxml", ".xml")
FOLDERS = ("orchestra", "shared-staves", "pairs", "suite")

# Small files of every folder whose bars fill their metre (music21 shifts what follows one that
# does not) and without chord symbols (which music21 counts as notes) or senza misura.
COMPARED = (
    "orchestra/Mayer_Quartet_Op.14.mxl",
    "orchestra/Bruckner_WAB.105_3b_Trio.mxl",
    "orchestra/Brahms_Op.90_3.mxl",
    "orchestra/Schubert_D.485_1.mxl",
    "suite/03a-Rhythm-Durations.xml",
    "suite/03b-Rhythm-Backup.xml",
    "suite/21d-Chords-SchubertStabatMater.xml",
    "suite/23d-Tuplets-Nested.xml",
    "suite/24a-GraceNotes.xml",
    "suite/43d-MultiStaff-StaffChange.xml",
)


def files(scores: Path) -> list[Path]:
    """Return every score of the corpus."""
    found = [path for folder in FOLDERS for path in sorted((scores / folder).iterdir())]
    return [path for path in found if path.suffix in SUFFIXES]


def tree_of(path: Path) -> etree._Element:
    """Return the score's XML tree."""
    if path.suffix != ".mxl":
        return etree.parse(path).getroot()
    with zipfile.ZipFile(path) as archive:
        names = [name for name in archive.namelist() if not name.startswith("META-INF")]
        (name,) = [name for name in names if name.endswith("xml")]
        return etree.fromstring(archive.read(name))


class Elements:
    """A plain count of a file's elements by the element around them, their name and their type."""

    def __init__(self, root: etree._Element) -> None:
        self._found = Counter(
            (element.getparent().tag, element.tag, element.get("type"))
            for element in root.iterdescendants(etree.Element)
        )
        self.ties_unprinted = sum(
            note.find("tie[@type='start']") is not None
            and note.find("notations/tied[@type='start']") is None
            for note in root.iter("note")
        )

    def number(self, name: str, *types: str, inside: str = "") -> int:
        """Return how many elements of a name there are, of these types and inside that element."""
        return sum(
            count
            for (parent, tag, kind), count in self._found.items()
            if name in (tag, "*") and inside in (parent, "") and (not types or kind in types)
        )


def plain_counts(elements: Elements) -> dict[str, int]:
    """Return what `counts` promises, from the elements alone."""
    number = elements.number
    rests = number("rest", inside="note")
    return {
        "notes": number("note") - rests,
        "rests": rests,
        "graces": number("grace"),
        "chords": number("chord", inside="note"),
        "ties": number("tied", "start") + elements.ties_unprinted,
        "slurs": number("slur", "start"),
        "hairpins": number("wedge", "crescendo", "diminuendo"),
        "levels": number("dynamics"),
        "words": number("words"),
        "articulations": number("*", inside="articulations"),
        "ornaments": number("*", inside="ornaments"),
        "technical": number("*", inside="technical"),
        "tremolos": number("tremolo"),
        "tuplets": number("tuplet", "start"),
        "tempos": number("metronome"),
        "rehearsals": number("rehearsal"),
    }


# Elements with two ends and the kind of span that holds them.
SPANS = {
    "wedge": "hairpin",
    "slur": "slur",
    "tuplet": "tuplet",
    "glissando": "glissando",
    "slide": "slide",
    "dashes": "dashes",
    "bracket": "bracket",
    "octave-shift": "octave-shift",
    "pedal": "pedal",
    "wavy-line": "wavy-line",
}
BETWEEN = ("continue", "resume")  # neither end
# Elements that are one mark each, by the mark's kind or, where kinds hold several, by its name.
KINDS = {
    "clef": "clef",
    "key": "key",
    "time": "meter",
    "transpose": "transposition",
    "barline": "barline",
    "repeat": "repeat",
    "ending": "ending",
    "lyric": "lyric",
    "fermata": "fermata",
    "segno": "segno",
    "coda": "coda",
    "harp-pedals": "harp-pedals",
}
NAMES = [
    "arpeggiate",
    "non-arpeggiate",
    "print",
    "harmony",
    "figured-bass",
    "staff-details",
    "measure-style",
    "staves",
    "string-mute",
    "scordatura",
    "damp",
    "damp-all",
    "eyeglasses",
    "image",
    "principal-voice",
    "accordion-registration",
    "staff-divide",
    "other-direction",
    "other-notation",
    "other-articulation",
    "breath-mark",
    "caesura",
    "accidental-mark",
]


def plain_marks(elements: Elements) -> dict[str, int]:
    """Return how many ends of spans and single marks a file holds, by element."""
    number = elements.number
    found = {name: number(name) - number(name, *BETWEEN) + number(name, "change") for name in SPANS}
    found |= {name: number(name) for name in (*KINDS, *NAMES)}
    found["coda"] = number("coda", inside="direction-type") + number("coda", inside="barline")
    found["segno"] = number("segno", inside="direction-type") + number("segno", inside="barline")
    return found


def our_marks(score: Score) -> dict[str, int]:
    """Return the same from the score."""
    marks = [mark for part in score.parts for mark in part.marks]
    kinds = Counter(mark.kind for mark in marks)
    names = Counter(dict(mark.attributes).get("element", mark.name) for mark in marks)
    ends = Counter(
        span.kind
        for part in score.parts
        for span in part.spans
        for end in (span.start, span.stop)
        if end is not None
    )
    found = {name: ends[kind] for name, kind in SPANS.items()}
    found |= {name: kinds[kind] for name, kind in KINDS.items()}
    return found | {name: names[name] for name in NAMES}


def test_nothing_is_lost(scores: Path) -> None:
    """Every file is read; what it holds is counted as a plain count of its elements counts it.

    This goes for the counts that the user sees and for every other mark and end of a span.
    """
    wrong = {}
    for path in files(scores):
        score, elements = read(path), Elements(tree_of(path))
        ours = our_marks(score) | counts(score)
        plain = plain_marks(elements) | plain_counts(elements)
        differing = {name: (ours[name], plain[name]) for name in plain if ours[name] != plain[name]}
        if differing:
            wrong[path.name] = differing
    assert wrong == {}


def test_lines_lead_back_to_the_file(scores: Path) -> None:
    """In a file of a quarter of a million lines every line is that of the element itself."""
    path = scores / "orchestra" / "Boulanger_Dun_matin_de_printemps.mxl"
    with zipfile.ZipFile(path) as archive:
        text = archive.read("score.xml").splitlines()
    parts = read(path).parts
    named = [(note.line, "note") for part in parts for note in part.notes]
    named += [
        (mark.line, mark.name)
        for part in parts
        for mark in part.marks_of("articulation", "technical", "ornament", "fermata", "level")
    ]
    named += [
        (end.line, span.kind)
        for part in parts
        for span in part.spans_of("slur", "tuplet")
        for end in (span.start, span.stop)
        if end is not None
    ]
    assert max(line for line, _ in named) > 65_535  # where 16 bits end
    assert [
        (line, name)
        for line, name in named
        if not text[line - 1].lstrip().startswith(f"<{name}".encode())
    ] == []


def test_the_account_agrees_with_a_plain_count(scores: Path) -> None:
    """Every kind of element in every file is accounted for: as many as a plain count finds.

    And none of them is lost: all are in the Score, or a problem points at them.
    """
    wrong = {}
    for path in files(scores):
        xml, _, _ = xml_of(path.read_bytes(), path.name)
        rows = account_of(read(path), xml)
        ours = {(row.inside, row.element): row.kept + row.reported for row in rows}
        plain = Counter(
            (element.getparent().tag, element.tag)
            for element in tree_of(path).iterdescendants(etree.Element)
        )
        assert {outer for outer, _ in plain} & {"note", "attributes"}
        if ours != plain:
            wrong[path.name] = [key for key in plain if ours.get(key) != plain[key]]
    assert wrong == {}


def test_paths_lead_back_to_the_file(scores: Path) -> None:
    """In every file the path of every note, mark and end of a span leads to its element."""
    assert {path.name: wrong for path in files(scores) if (wrong := wrong_paths(path))} == {}


def wrong_paths(path: Path) -> list[str]:
    """Return the ids in a file whose paths lead astray; of a long file, those of every 7th bar."""
    score, root = read(path), tree_of(path)
    step = 7 if len(score.notes_by_id) > 5000 else 1
    parts = tuple(
        replace(
            part,
            notes=tuple(note for note in part.notes if note.bar % step == 0),
            marks=tuple(mark for mark in part.marks if mark.bar % step == 0),
            spans=tuple(span for span in part.spans if (span.start or span.stop).bar % step == 0),
        )
        for part in score.parts
    )
    return astray(replace(score, parts=parts), root)


def our_notes(score: Score) -> list[Counter[tuple[Fraction, float, Fraction]]]:
    """Return for each part its pitched notes: onset and length in quarters, written pitch."""
    ticks = score.ticks_per_quarter
    return [
        Counter(
            (
                Fraction(score.tick(note.bar, note.offset), ticks),
                note.written_midi,
                Fraction(note.duration, ticks),
            )
            for note in part.notes
            if note.kind == "pitched"
        )
        for part in score.parts
    ]


def their_notes(path: Path) -> list[Counter[tuple[Fraction, float, Fraction]]]:
    """Return the same from music21, which splits a part of two staves in two."""
    music21 = pytest.importorskip("music21")
    parts: dict[str, Counter[tuple[Fraction, float, Fraction]]] = {}
    for part in music21.converter.parse(path, forceSource=True).parts:
        found = parts.setdefault(str(part.id).split("-Staff")[0], Counter())
        for element in part.recurse().notes:
            onset = Fraction(element.getOffsetInHierarchy(part))
            length = Fraction(element.duration.quarterLength)
            for pitch in getattr(element, "pitches", ()):
                found[onset, float(pitch.ps), length] += 1
    return list(parts.values())


@pytest.mark.filterwarnings("ignore::Warning")
@pytest.mark.parametrize("name", COMPARED)
def test_pitches_and_times_agree_with_music21(scores: Path, name: str) -> None:
    """Onset, written pitch and length of every note of every part are those that music21 reads."""
    path = scores / name
    ours = our_notes(read(path))
    assert sum(map(sum, (part.values() for part in ours))) > 0
    assert ours == their_notes(path)
