"""The other doors: MEI, kern and MIDI, told by their content, against music21 and by hand."""

import io
import subprocess
import sys
from collections import Counter
from fractions import Fraction
from pathlib import Path

import mido
import pytest

from redstave.base.errors import InputError
from redstave.model.score import Note, Part, Score
from redstave.reading import counts, door, read_bytes, xml_of
from redstave.reading.midi.write import spelled

HERE = Path(__file__).parent / "doors"


def study(kind: str) -> Score:
    """Read the study of a kind, under a name that says nothing."""
    return read_bytes((HERE / f"study.{kind}").read_bytes(), "entry.dat")


def sounding(score: Score, part: Part) -> list[tuple[Fraction, Fraction, float]]:
    """Return onset and duration in quarters and written pitch of each note but graces."""
    ticks = score.ticks_per_quarter
    return sorted(
        (
            Fraction(score.tick(note.bar, note.offset), ticks),
            Fraction(note.duration, ticks),
            note.written_midi,
        )
        for note in part.notes
        if note.kind == "pitched" and not note.grace
    )


def test_mei_brings_staves_notes_and_marks() -> None:
    """The MEI study is read as it is written: who, what, when, and every mark at its note."""
    score = study("mei")
    assert score.origin.format == "mei"
    assert score.title == "Small study"
    assert [(part.name, part.staves) for part in score.parts] == [
        ("Flauti", 1),
        ("Corno in F", 1),
        ("Arpa", 2),
    ]
    assert [group.symbol for group in score.groups] == ["bracket"]
    flutes, horn, _ = score.parts
    quarter = score.ticks_per_quarter
    first = [note for note in flutes.notes if note.voice == "1"]
    assert [(note.step, note.alter, note.offset / quarter) for note in first[:4]] == [
        ("D", 0, 0),
        ("E", 0, 1.5),
        ("F", 1, 2),
        ("A", 0, 2),
    ]
    assert [note.grace for note in first[4:]] == [True, False]
    (slur,) = flutes.spans_of("slur")
    assert (slur.start.note, slur.stop.note) == (first[0].id, first[2].id)
    (hairpin,) = flutes.spans_of("hairpin")
    assert hairpin.name == "crescendo"
    assert (hairpin.start.offset / quarter, hairpin.stop.bar, hairpin.stop.offset) == (1, 1, 0)
    (move,) = horn.marks_of("transposition")
    assert move.value == -7
    (tremolo,) = horn.marks_of("tremolo")
    assert tremolo.value == 3
    (fermata,) = horn.marks_of("fermata")
    assert fermata.note == horn.notes[3].id
    assert {(note.actual_notes, note.normal_notes) for note in horn.notes[1:4]} == {(3, 2)}
    held = {mark.name for mark in flutes.marks_of("articulation", "ornament", "rehearsal", "level")}
    assert held == {"staccato", "accent", "trill-mark", "rehearsal", "f"}
    (tempo,) = flutes.marks_of("tempo")
    assert tempo.value == 96


def test_kern_agrees_with_music21() -> None:
    """Every onset, length and sounding pitch of the kern study is the one music21 reads."""
    music21 = pytest.importorskip("music21")
    score = study("krn")
    assert score.origin.format == "kern"
    assert [part.name for part in score.parts] == ["2 Flauti", "Cor in F"]
    parsed = music21.converter.parseData((HERE / "study.krn").read_text(), format="humdrum")
    theirs = [
        sorted(
            (
                Fraction(element.getOffsetInHierarchy(part)),
                Fraction(element.duration.quarterLength),
                float(pitch.ps),
            )
            for element in part.recurse().notes
            if not element.duration.isGrace
            for pitch in element.pitches
        )
        for part in parsed.parts
    ]
    flutes, horn = score.parts
    (move,) = horn.marks_of("transposition")
    concert = [
        (start, length, pitch + move.value) for start, length, pitch in sounding(score, horn)
    ]
    assert sorted([sounding(score, flutes), concert]) == sorted(theirs)


def test_kern_brings_the_marks_of_shared_staves() -> None:
    """Words, levels, hairpins, slurs, ties, graces and both voices of a stave come along."""
    score = study("krn")
    flutes, horn = score.parts
    assert [mark.text for mark in flutes.marks_of("word")] == ["a 2"]
    assert [mark.text for mark in horn.marks_of("word")] == ["Solo"]
    assert [mark.name for part in score.parts for mark in part.marks_of("level")] == ["f", "p"]
    assert {note.voice for note in flutes.notes} == {"1", "2"}
    found = counts(score)
    kinds = ("slurs", "ties", "hairpins", "graces", "chords", "articulations", "ornaments")
    assert [found[kind] for kind in kinds] == [1, 1, 2, 1, 1, 2, 2]
    # The trill is one of a whole tone, from F sharp: kern's "T", not "t".
    ornaments = [(mark.name, mark.text) for mark in flutes.marks_of("ornament")]
    assert ornaments == [("trill-mark", ""), ("accidental-mark", "sharp")]


@pytest.mark.parametrize("kind", ["mei", "krn"])
def test_what_came_through_a_door_says_so(kind: str) -> None:
    """A converted score says first that it was converted, and where its lines lead."""
    first = study(kind).problems[0]
    assert first.code == "converted"
    assert "Lines and paths lead to the MusicXML made from it" in first.text


def test_what_mei_cannot_bring_along_is_counted() -> None:
    """An element without a counterpart is named with its number."""
    text = (HERE / "study.mei").read_text(encoding="utf-8")
    fingered = text.replace("<trill ", '<fing startid="#n1">2</fing><trill ', 1)
    score = read_bytes(fingered.encode(), "x.mei")
    assert "1 × fing" in score.problems[0].text
    assert counts(score) == counts(study("mei"))


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"<mei xmlns='http://www.music-encoding.org/ns/mei'><music/></mei>", "MEI"),
        (b"**kern\n" + b"\xff" * 500, "kern"),
        (b"!!!OTL: x\n**text\nla\n*-\n", "kern"),
        (b"MThd", "MIDI"),
        (b"MThd\0\0\0\6\0\1\0\1\xe7\x28MTrk\0\0\0\4\0\xff\x2f\0", "MIDI"),
        (b"MThd\0\0\0\6\0\1\0\1\0\x60MTrk\0\0\0\4\0\xff\x2f\0", "MIDI"),
        (b"MThd\0\0\0\6\0\1\0\1\0\x60MTrk\xff\xff\xff\xff\0\x90", "MIDI"),
    ],
)
def test_damaged_files_are_refused_in_one_line(data: bytes, said: str) -> None:
    """A file that a door cannot read is refused in one sentence that names the format."""
    with pytest.raises(InputError, match=f"^entry.dat .*{said}.*[.]$"):
        read_bytes(data, "entry.dat")


def test_a_child_that_dies_is_one_sentence(monkeypatch: pytest.MonkeyPatch) -> None:
    """When the converting process is killed or hangs, the file is refused in a sentence."""
    monkeypatch.setattr(door, "MEGABYTES", 30)  # too little for the library to load
    with pytest.raises(InputError, match="cannot be understood as MEI"):
        study("mei")
    monkeypatch.setattr(door, "WALL_S", 0.01)
    with pytest.raises(InputError, match="takes too long"):
        study("mei")


# MIDI


def midi(*tracks: list[mido.Message], ticks: int = 480) -> bytes:
    """Return a MIDI file of these tracks."""
    file = mido.MidiFile(ticks_per_beat=ticks)
    for messages in tracks:
        file.tracks.append(mido.MidiTrack(messages))
    content = io.BytesIO()
    file.save(file=content)
    return content.getvalue()


def tone(pitch: int, wait: int, length: int, channel: int = 0) -> list[mido.Message]:
    """Return a tone of so many ticks, so many after what stands before."""
    return [
        mido.Message("note_on", note=pitch, velocity=80, time=wait, channel=channel),
        mido.Message("note_off", note=pitch, time=length, channel=channel),
    ]


SIGNS = [
    mido.MetaMessage("track_name", name="Study"),
    mido.MetaMessage("time_signature", numerator=3, denominator=4),
    mido.MetaMessage("key_signature", key="Eb"),
    mido.MetaMessage("set_tempo", tempo=500_000),
]
FLUTE = [
    mido.MetaMessage("track_name", name="Flute"),
    mido.Message("program_change", program=73),
    *tone(75, 0, 480),  # E flat
    *tone(77, 0, 160),
    *tone(79, 0, 160),
    *tone(80, 0, 160),
    *tone(82, 0, 960),  # over the barline
]


def test_midi_becomes_bars_notes_and_spelling() -> None:
    """Tones become note values in bars, tied over barlines, triplets and key respected."""
    score = read_bytes(midi(SIGNS, FLUTE), "entry.dat")
    assert (score.origin.format, score.title) == ("midi", "Study")
    (part,) = score.parts
    assert (part.name, part.instruments[0].midi_program) == ("Flute", 74)
    names = [f"{note.step}{note.alter:+g}" for note in part.notes if note.kind == "pitched"]
    assert names == ["E-1", "F+0", "G+0", "A-1", "B-1", "B-1"]
    assert [note.type for note in part.notes[:5]] == ["quarter", *["eighth"] * 3, "quarter"]
    assert [note.actual_notes for note in part.notes[:5]] == [1, 3, 3, 3, 1]
    (tie,) = part.spans_of("tie")
    assert (tie.start.bar, tie.stop.bar) == (0, 1)
    (tempo,) = [mark for mark in part.marks_of("tempo") if mark.name == "metronome"]
    assert tempo.value == 120
    assert [bar.length / score.ticks_per_quarter for bar in score.bars] == [3, 3]
    assert score.problems[0].code == "converted"
    assert "holds no page" in score.problems[0].text


def test_midi_agrees_with_music21() -> None:
    """Onsets, sounding lengths and pitches of overlapping tones are those music21 reads."""
    music21 = pytest.importorskip("music21")
    melody = [mido.MetaMessage("track_name", name="Viola"), *tone(60, 0, 480)]
    melody += [
        mido.Message("note_on", note=64, velocity=80, time=0),
        mido.Message("note_on", note=67, velocity=80, time=0),
        mido.Message("note_on", note=71, velocity=80, time=240),
        mido.Message("note_off", note=64, time=240),
        mido.Message("note_off", note=67, time=0),
        mido.Message("note_off", note=71, time=240),
    ]
    data = midi(SIGNS[1:2], melody)
    score = read_bytes(data, "x.mid")
    ours = Counter((start, pitch) for start, _, pitch in tied(score))
    file = music21.midi.MidiFile()
    file.readstr(data)
    parsed = music21.midi.translate.midiFileToStream(file)
    theirs = Counter(
        (Fraction(element.getOffsetInHierarchy(parsed)), float(pitch.ps))
        for element in parsed.recurse().notes
        if element.tie is None or element.tie.type == "start"
        for pitch in element.pitches
    )
    assert ours == theirs


def tied(score: Score) -> list[tuple[Fraction, Fraction, float]]:
    """Return onset, written length and pitch of every note that no tie leads to."""
    heads: list[Note] = [note for part in score.parts for note in part.notes]
    begun = {note.id for note in heads if note.kind == "pitched" and not note.tie_stop}
    (part,) = score.parts
    kept = Part(part.id, "", "", 1, (), tuple(n for n in part.notes if n.id in begun), (), ())
    return sounding(score, kept)


def test_percussion_channel_has_no_pitches() -> None:
    """What is played on the tenth channel are strokes, not pitches (General MIDI 1)."""
    strokes = [mido.MetaMessage("track_name", name="Percussion"), *tone(38, 0, 480, 9)]
    (part,) = read_bytes(midi(SIGNS, strokes), "x").parts
    assert [note.kind for note in part.notes] == ["unpitched", "rest", "rest"][: len(part.notes)]


@pytest.mark.parametrize(
    ("pitch", "fifths", "expected"),
    [
        (61, 0, ("C", 1)),
        (63, 0, ("E", -1)),
        (61, -3, ("D", -1)),
        (66, 2, ("F", 1)),
        (65, 6, ("E", 1)),
    ],
)
def test_spelling_stays_near_the_key(pitch: int, fifths: int, expected: tuple[str, int]) -> None:
    """A black key takes the name nearest to the key on the line of fifths (common practice)."""
    assert spelled(pitch, fifths) == expected


def test_midi_without_end_is_refused() -> None:
    """A tone of a hundred thousand bars is damage, and is told quickly."""
    with pytest.raises(InputError, match="quarters"):
        read_bytes(midi(tone(60, 0, 200_000_000)), "x.mid")


@pytest.mark.parametrize("kind", ["mei", "krn"])
def test_the_xml_made_is_valid_for_the_page(kind: str) -> None:
    """What a door makes is MusicXML like any other: reading it again gives the same music."""
    data = (HERE / f"study.{kind}").read_bytes()
    xml, _, _ = xml_of(data, "entry")
    again = read_bytes(xml, "entry.musicxml")
    assert again.parts == read_bytes(data, "entry").parts


def test_the_library_is_not_loaded_here() -> None:
    """Reading MEI does not bring the engraving library into this process."""
    code = (
        "import sys, pathlib; from redstave.reading import read; "
        f"read(pathlib.Path({str(HERE / 'study.mei')!r})); "
        "sys.exit('verovio' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
