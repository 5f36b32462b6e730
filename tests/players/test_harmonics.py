"""Where harmonics sound, against tables in print and against a printed score.

Touch points on an open string: encyclopedic table (harmtab) and pedagogical paper (harmped) of the
reference notes; artificial harmonics by the fourth: hansen; by the fifth and the third, and the
harp's octave: from memory of handbooks.
"""

from collections import Counter, defaultdict
from pathlib import Path

import pytest

from redstave.instruments.tuning import tuning
from redstave.model.line import Forces, Playing
from redstave.model.score import Note
from redstave.players import play
from redstave.players.harmonics import partial_above, touched
from redstave.players.page import is_played
from redstave.players.signs import chord_key
from redstave.reading import read, read_bytes
from tests.players.pages import told

G3, A3, B3, C4, D4, G4, D5, G5, B5, D6 = 55, 57, 59, 60, 62, 67, 74, 79, 83, 86
CENTS = 0.2  # semitones: just thirds and sevenths lie that far from the tempered ones


@pytest.mark.parametrize(
    ("touch", "sounds"),
    [(12, 12), (7, 19), (5, 24), (4, 28), (9, 28), (3, 31)],
)
def test_the_table_of_touch_points(touch: int, sounds: int) -> None:
    """Octave, fifth, fourth, major third and sixth, minor third above an open string (harmtab)."""
    assert partial_above(touch) == pytest.approx(sounds, abs=CENTS)


@pytest.mark.parametrize("touch", [1, 2, 6, 8, 10, 11])
def test_other_places_are_no_nodes(touch: int) -> None:
    """No partial up to the sixth has a node there."""
    assert partial_above(touch) is None


@pytest.mark.parametrize(
    ("string", "touch", "sounds"),
    [(G3, D4, D5), (G3, C4, G5), (G3, B3, B5), (D4, G4, D6)],
)
def test_values_of_the_reference(string: int, touch: int, sounds: int) -> None:
    """G string touched at D4, C4 and B3, D string at G4: the values the reference works out."""
    assert touched(touch, [string])[0] == pytest.approx(sounds, abs=CENTS)


def test_a_word_names_the_string() -> None:
    """G4 is the octave of the G string and the fourth of the D string: “sul G” decides."""
    violin = tuning()["violin"]
    assert touched(G4, violin, "D") == touched(G4, violin, "3") == (D6,)
    assert touched(G4, violin, "G") == touched(G4, violin, "4") == (G4,)
    assert touched(G4, violin) == (D6, G4)  # without a word both are kept, the octave last


def _midi(part: str, bars: str) -> list[float]:
    return sorted(round(tone.midi, 1) for tone in told(f"part {part}\n{bars}\n").tones)


def _codes(playing: Playing) -> set[str]:
    return {question.code for question in playing.open_questions}


def test_a_circle_sounds_where_it_is_written() -> None:
    """A circle over a plain note of a string instrument shows the pitch that sounds."""
    assert _midi("Violin 1", "D5/1:harmonic |") == [D5]
    assert _midi("Violin 1", '"o" D5/1 |') == [D5]
    assert told('part Violin 1\n"o" D5/1 |\n').tones[0].technique == "harmonic"


def test_a_circle_on_the_harp_sounds_an_octave_higher() -> None:
    """The harpist plays an octave below what sounds."""
    assert _midi("Harp", "D5/1:harmonic |") == [D6]


def test_a_diamond_alone_is_touched_on_an_open_string() -> None:
    """C4 can only be the fourth of the G string; G4 is open between two, and is asked about."""
    assert _midi("Violin 1", "C4/1:diamond |") == [G5]
    assert "harmonic-string-unknown" not in _codes(told("part Violin 1\nC4/1:diamond |\n"))
    assert _midi("Violin 1", "G4/1:diamond |") == [D6]
    assert "harmonic-string-unknown" in _codes(told("part Violin 1\nG4/1:diamond |\n"))
    assert _midi("Violin 1", '"sul G" G4/1:diamond |') == [G4]
    assert "harmonic-string-unknown" not in _codes(told('part Violin 1\n"sul G" G4/1:diamond |\n'))


def test_the_double_bass_is_touched_as_it_sounds() -> None:
    """A fourth above the open A string, written an octave higher, sounds two octaves above it."""
    assert _midi("Double Bass | transpose=-12", "D3/1:diamond |")[0] in (33 + 24, 38)
    assert _midi("Double Bass | transpose=-12", '"sul A" D3/1:diamond |') == [33 + 24]


@pytest.mark.parametrize(
    ("touch", "sounds"), [("D4", A3 + 24), ("E4", A3 + 19), ("C#4", A3 + 28), ("C4", A3 + 31)]
)
def test_artificial_harmonics(touch: str, sounds: int) -> None:
    """A diamond a fourth, fifth, major or minor third above the stopped A3 is one tone."""
    playing = told(f"part Violin 1\n[A3 {touch}:diamond]/1 |\n")
    (tone,) = playing.tones
    assert tone.midi == pytest.approx(sounds, abs=CENTS)
    assert (tone.technique, tone.players, len(tone.notes)) == ("harmonic", 14.0, 2)
    assert "double-notes-unlabelled" not in _codes(playing)


def test_the_sounding_note_beside_an_artificial_harmonic_is_no_tone_of_its_own() -> None:
    """Stopped note, diamond and the pitch that sounds are one tone, not three, nor a division."""
    (tone,) = told("part Violin 1\n[A3 D4:diamond A5]/1 |\n").tones
    assert (tone.midi, len(tone.notes), tone.players) == (81.0, 3, 14.0)


def test_a_tied_harmonic_is_one_tone() -> None:
    """Over the tie the diamond is often not repeated: it is still the same harmonic."""
    (tone,) = told("part Violin 1\n[A3~ D4:diamond]/1 | A3 |\n").tones
    assert tone.midi == 81.0
    assert tone.stop_s - tone.start_s == pytest.approx(8.0)


def test_two_harmonics_in_a_chord() -> None:
    """Each diamond belongs to the stopped note below it."""
    bars = '"div." [A3 D4:diamond A4 D5:diamond]/1 |'
    assert _midi("Violin 1", bars) == [81.0, 93.0]


def test_how_harmonics_are_read_is_said() -> None:
    """Two ways of writing are in use, so the reading is stated for each part."""
    playing = told("part Violin 1\n[A3 D4:diamond]/1 | D5:harmonic |\n")
    text = next(q.text for q in playing.open_questions if q.code == "harmonics-read")
    assert "circle" in text
    assert "diamonds above another note" in text


TOUCHED = """<score-partwise version="4.0"><part-list><score-part id="P1">
<part-name>Viola</part-name></score-part></part-list><part id="P1"><measure number="1">
<attributes><divisions>1</divisions><time><beats>2</beats><beat-type>4</beat-type></time>
</attributes><note><pitch><step>D</step><octave>4</octave></pitch><duration>2</duration>
<notations><technical><harmonic><artificial/><base-pitch/></harmonic></technical></notations></note>
<note><chord/><pitch><step>G</step><octave>4</octave></pitch><duration>2</duration>
<notations><technical><harmonic><artificial/><touching-pitch/></harmonic></technical></notations>
</note></measure></part></score-partwise>"""


def test_the_elements_for_stopped_and_touched_pitch() -> None:
    """MusicXML 4.0's base-pitch and touching-pitch say the same as a diamond."""
    (tone,) = play(read_bytes(TOUCHED.encode(), "touched.musicxml"), Forces()).tones
    assert tone.midi == D4 + 24


def test_a_printed_octave_wins_and_is_doubted() -> None:
    """A printed sounding note an octave off is what is taken, and the page is asked about it."""
    playing = told("part Violin 1\n[A3 D4:diamond A4]/1 |\n")
    assert [(tone.midi, len(tone.notes)) for tone in playing.tones] == [(69.0, 3)]
    assert "harmonic-doubtful" in _codes(playing)
    assert "harmonic-doubtful" not in _codes(told("part Violin 1\n[A3 D4:diamond A5]/1 |\n"))


def test_a_touch_at_no_node_is_doubted() -> None:
    """A diamond a tritone above the stopped note has no partial: it is taken as printed."""
    playing = told("part Violin 1\n[A3 D#4:diamond]/1 |\n")
    assert [tone.midi for tone in playing.tones] == [63.0]
    assert "harmonic-doubtful" in _codes(playing)


@pytest.mark.corpus
def test_harmonics_sound_where_a_printed_score_says(scores: Path) -> None:
    """L. Boulanger prints above 80 artificial harmonics what sounds.

    45 agree with what we work out from stopped note and diamond; the other 35 differ by one octave
    exactly, where the file has the stopped notes of an octave line, or of the double basses.
    """
    score = read(scores / "orchestra" / "Boulanger_Dun_matin_de_printemps.mxl")
    playing = play(score, Forces())
    tone_of = {note: tone for tone in playing.tones for note in tone.notes}
    chords: dict[tuple[object, ...], list[Note]] = defaultdict(list)
    for part in score.parts:
        for note in part.notes:
            if is_played(note):
                chords[part.id, *chord_key(note)].append(note)
    off: Counter[int] = Counter()
    for notes in chords.values():
        if len(notes) == 3 and any(("notehead", "diamond") in note.details for note in notes):
            stopped, touch, sounding = sorted(note.written_midi for note in notes)
            raised = partial_above(touch - stopped)
            assert raised is not None
            off[round(stopped + raised - sounding)] += 1
            assert len({tone_of[note.id] for note in notes}) == 1
    assert off == {0: 45, 12: 35}
