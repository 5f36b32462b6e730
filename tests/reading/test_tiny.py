"""The tiny notation: what is written is read back, on the page that a player would see."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from lxml import etree
from music21.interval import Interval
from music21.pitch import Pitch as Music21Pitch

from redstave.model.score import Note, Part, Score
from redstave.reading import read_bytes
from redstave.reading.tiny import to_musicxml
from redstave.reading.tiny.page import key_alters
from redstave.reading.tiny.spelling import key_fifths, midi, transposition, written
from redstave.reading.tiny.values import Pitch
from tests.reading.inline import only_mark, only_span
from tests.writing.schema import faults

EVERYTHING = """
; everything that the notation has
title: All signs
meter: 4/4            ; the metre
key: -3
tempo: 96 "Andante"
pitch: sounding
pickup: 1/4

part Flute 1. 2 | abbr=Fl. 1. 2 | clef=treble | group=Woodwind | sound=wind.flutes.flute
p C5/4( |
|: D5 E5) r [C5 E5]~ | [C5 E5]/2 s | R*2 :|
mf < C5/4:staccato D5:accent:tenuto = f E5/2:tremolo3 |
"a 2; dolce" _"sotto" !"Vivo" %72 @A
G4/8 A4/16 B4 {3:2 A4/8 B4 C5} ^F5 C5/4:let-ring ^[C5 E5]/16 C5 |
key:2 meter:6/8 D5/8 E5 F#5 {2:3 G5 A5} & B4/4.:gliss C#5 |
meter:3/4 R:fermata || R |
part Horn in F | transpose=-7 | group=Woodwind | clef=treble
C4/4 | Eb4/1:stopped | B3/1 | R*2 | > C4/2. = D4/4 | E4/1:up-bow |
key:2 meter:6/8 A3/4.:harmonic:arpeggiate B3:cue | meter:3/4 clef:bass D3/2.:fermata | R |
part Piano | staves=2
r | R | C5/1 // C3/1 | R*4 | key:2 meter:6/8 R | meter:3/4 R | R |
"""


def read_tiny(text: str) -> Score:
    """Read a tiny score, which must have no problem."""
    score = read_bytes(text.encode(), "x.tiny")
    assert score.problems == ()
    return score


def one_part(music: str, head: str = "", settings: str = "") -> Part:
    """Read a tiny score of one part."""
    return read_tiny(f"{head}\npart Flute {settings}\n{music}").parts[0]


def spelled(notes: list[Note]) -> list[str]:
    """Return pitches as music21 writes them, flats as minus signs."""
    signs = {-2: "--", -1: "-", 0: "", 1: "#", 2: "##"}
    return [f"{note.step}{signs[int(note.alter)]}{note.octave}" for note in notes]


def test_what_is_written_is_valid_musicxml() -> None:
    """A score with every sign of the notation is valid under the W3C's schema of MusicXML 4.0."""
    assert faults(etree.fromstring(to_musicxml(EVERYTHING))) == []


def test_everything_is_read_back() -> None:
    """A score with every sign has its parts, bars, groups and title, and no problem."""
    score = read_tiny(EVERYTHING)
    assert score.title == "All signs"
    assert [part.name for part in score.parts] == ["Flute 1. 2", "Horn in F", "Piano"]
    assert score.parts[0].abbreviation == "Fl. 1. 2"
    assert score.parts[0].instruments[0].sound == "wind.flutes.flute"
    assert [bar.number for bar in score.bars] == [str(number) for number in range(10)]
    quarters = [Fraction(bar.length, score.ticks_per_quarter) for bar in score.bars]
    assert quarters == [1, 4, 4, 4, 4, 4, 4, 3, 3, 3]
    assert [(group.name, group.first, group.last) for group in score.groups] == [
        ("Woodwind", "P1", "P2")
    ]
    assert score.parts[2].staves == 2


def test_marks_of_everything_are_read_back() -> None:
    """Levels, words, tempos, letters, barlines and note marks come back as what they are."""
    part = read_tiny(EVERYTHING).parts[0]
    assert [mark.name for mark in part.marks_of("level")] == ["p", "mf", "f"]
    assert [mark.text for mark in part.marks_of("word")] == [
        "Andante",
        "a 2; dolce",
        "sotto",
        "Vivo",
    ]
    assert [m.value for m in part.marks_of("tempo") if m.name == "metronome"] == [96.0, 72.0]
    assert only_mark(part, "rehearsal").text == "A"
    assert [mark.name for mark in part.marks_of("articulation")] == ["staccato", "accent", "tenuto"]
    assert only_mark(part, "tremolo").value == 3.0
    assert only_mark(part, "fermata").bar == 8
    assert [mark.name for mark in part.marks_of("repeat")] == ["forward", "backward"]
    assert only_span(part, "slur").stop is not None
    assert only_span(part, "hairpin").name == "crescendo"
    assert [span.kind for span in part.spans_of("tie", "tuplet")] == [
        "tie",
        "tie",
        "tuplet",
        "tuplet",
    ]


def test_values_are_kept_until_changed() -> None:
    """A note without a value has that of the note before it, dots included; graces do not count."""
    notes = one_part("C5/4. ^D5 E5 F5/8 G5 | A5/2 B5 |").notes
    assert [note.type for note in notes] == [
        "quarter", "eighth", "quarter", "eighth", "eighth", "half", "half",
    ]  # fmt: skip
    assert [note.dots for note in notes] == [1, 0, 1, 0, 0, 0, 0]


def test_a_hairpin_that_follows_another_ends_it() -> None:
    """Crescendo and diminuendo may stand back to back with one end sign."""
    part = one_part("< C5/2 > D5 = |")
    ends = [
        (span.name, span.start and span.start.offset, span.stop and span.stop.offset)
        for span in part.spans_of("hairpin")
    ]
    assert ends == [("crescendo", 0, 2), ("diminuendo", 2, 4)]


def test_voices_have_their_stems_and_numbers() -> None:
    """Two voices on a stave have stems up and down; a second stave's voices begin at 5."""
    part = one_part("C5/1 & E4/1 // C3/1 |", settings="| staves=2")
    assert [(note.voice, note.stave, note.stem) for note in part.notes] == [
        ("1", 1, "up"),
        ("2", 1, "down"),
        ("5", 2, ""),
    ]


@pytest.mark.parametrize(
    ("meter", "music", "beams"),
    # Eighths are beamed by the beat, dotted in compound metre: common practice, no source.
    [
        ("4/4", "C5/8 D5 E5 F5 r C5/4 C5/8", [["begin"], ["end"], ["begin"], ["end"], [], []]),
        ("6/8", "C5/8 D5 E5 F5 r C5", [["begin"], ["continue"], ["end"], [], []]),
        (
            "2/4",
            "C5/8. D5/16 E5/16 F5/8 G5/16",
            [
                ["begin"],
                ["end", "backward hook"],
                ["begin", "forward hook"],
                ["continue"],
                ["end", "backward hook"],
            ],
        ),
    ],
)
def test_beams(meter: str, music: str, beams: list[list[str]]) -> None:
    """Runs of eighths and shorter within a beat are beamed; a rest ends a beam."""
    part = one_part(music + " |", head=f"meter: {meter}")
    read = [
        [text for name, text in note.details if name == "beam"]
        for note in part.notes
        if note.kind == "pitched"
    ]
    assert read == beams


def test_accidentals_are_printed_where_they_are_needed() -> None:
    """An accidental holds for its bar and octave; a tie over the barline needs none."""
    part = one_part("F#5/4 F5 F#4 F5 | C#5/1~ | C#5/2 C#5 |", head="key: 1")
    printed = [dict(note.details).get("accidental", "") for note in part.notes]
    assert printed == ["", "natural", "", "", "sharp", "", "sharp"]


@pytest.mark.parametrize("fifths", range(-7, 8))
def test_keys_alter_their_steps(fifths: int) -> None:
    """The alterations of a key are those that music21 gives."""
    from music21.key import KeySignature

    key = KeySignature(fifths)
    for step, alter in key_alters(fifths).items():
        accidental = key.accidentalByStep(step)
        assert alter == (accidental.alter if accidental else 0)


# Transpositions of the orchestra: semitones from written to sounding, and the interval's name.
INSTRUMENTS = {
    -2: "M-2",  # clarinet in B flat
    -3: "m-3",  # clarinet in A
    3: "m3",  # clarinet in E flat
    2: "M2",  # trumpet in D
    -7: "P-5",  # horn in F
    -8: "m-6",  # horn in E
    -9: "M-6",  # alto saxophone
    -10: "m-7",  # horn in D
    -12: "P-8",  # double bass
    12: "P8",  # piccolo
    -14: "M-9",  # bass clarinet
    5: "P4",  # clarinet or trumpet in F
    -5: "P-4",  # alto flute
}
PITCHES = st.builds(Pitch, st.sampled_from("CDEFGAB"), st.integers(-1, 1), st.integers(1, 7))


@given(st.sampled_from(sorted(INSTRUMENTS)), PITCHES)
def test_written_pitches_agree_with_music21(transpose: int, pitch: Pitch) -> None:
    """The written page is spelled as music21 transposes, in keys that need no enharmonic change."""
    sounding = Music21Pitch(f"{pitch.step}{'b' if pitch.alter < 0 else '#' * pitch.alter}")
    sounding.octave = pitch.octave
    if pitch.alter < 0:
        sounding = Music21Pitch(f"{pitch.step}-{pitch.octave}")
    ours = written(pitch, transpose, 0)
    theirs = Interval(INSTRUMENTS[transpose]).reverse().transposePitch(sounding)
    assert midi(ours) == midi(pitch) - transpose
    assert (ours.step, ours.alter, ours.octave) == (theirs.step, theirs.alter, theirs.octave)


@given(st.integers(-24, 24), st.integers(-7, 7), PITCHES)
def test_written_pitches_sound_right_in_every_key(transpose: int, key: int, pitch: Pitch) -> None:
    """Written keys have at most seven signs, pitches at most two, and the sound is unchanged."""
    page = written(pitch, transpose, key)
    assert midi(page) + transpose == midi(pitch)
    assert abs(page.alter) <= 2
    assert abs(key_fifths(key, transpose)) <= 7


@pytest.mark.parametrize(
    ("transpose", "expected"),
    # MusicXML 4.0, element transpose: steps and semitones of the interval less than an octave.
    [(-2, (-1, -2, 0)), (-3, (-2, -3, 0)), (-7, (-4, -7, 0)), (3, (2, 3, 0)), (12, (0, 0, 1)),
     (-14, (-1, -2, -1)), (-21, (-5, -9, -1)), (0, (0, 0, 0))],
)  # fmt: skip
def test_transposition_is_split_as_musicxml_wants_it(
    transpose: int, expected: tuple[int, int, int]
) -> None:
    """Octaves go to octave-change; steps and semitones have one direction."""
    assert transposition(transpose) == expected


def test_sounding_scores_are_written_for_their_players() -> None:
    """A clarinet in B flat reads D major where the hall hears C; its sound is what was asked."""
    part = one_part("C4/4 E4 F#4 Bb4 |", "pitch: sounding", "| transpose=-2")
    assert spelled(list(part.notes)) == ["D4", "F#4", "G#4", "C5"]
    assert only_mark(part, "key").value == 2
    assert only_mark(part, "transposition").value == -2


def test_written_scores_are_left_as_they_are() -> None:
    """In a written score only the key is transposed."""
    part = one_part("C4/1 |", "pitch: written\nkey: 1", "| transpose=-7")
    assert spelled(list(part.notes)) == ["C4"]
    assert only_mark(part, "key").value == 2


def test_percussion_is_unpitched() -> None:
    """Under a percussion clef notes have a place on the stave and no pitch."""
    part = one_part("E4/4 r E4 E4 |", settings="| clef=percussion")
    assert [note.kind for note in part.notes] == ["unpitched", "rest", "unpitched", "unpitched"]


def test_a_diamond_is_the_head_of_its_own_note() -> None:
    """In a chord the touched note has the diamond, the stopped one none."""
    part = one_part("[A4 D5:diamond]/1 | C5/1:diamond |")
    heads = [dict(note.details).get("notehead", "") for note in part.notes]
    assert heads == ["", "diamond", "diamond"]


@pytest.mark.parametrize(
    ("bars", "code"), [("C4/2 D4 | E4/1 |", ""), ("C4/2 D4/4 | E4/1 |", "short-bar")]
)
def test_bars_may_hold_more_or_less_where_sums_are_free(bars: str, code: str) -> None:
    """A bar that does not add up is written as it stands, and the reader says so."""
    text = f"title: T\nsums: free\n\npart Oboe\nR | {bars}\n"
    problems = read_bytes(text.encode(), "free.tiny").problems
    assert [one.code for one in problems] == [code] * bool(code)
