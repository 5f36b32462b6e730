"""Tones: ties, graces, accents, what is left out, and the order."""

import pytest

from redstave.model.line import Forces
from redstave.players import play
from redstave.players.tones import GRACE_SECONDS
from redstave.reading import read_bytes
from tests.players.pages import flute, page, told, tones_of
from tests.reading.inline import NOTE, score_of_bars


def test_tied_notes_are_one_tone() -> None:
    """A note tied over two barlines is one tone with three notes."""
    (tone,) = flute("C5/1~ | C5~ | C5 |").tones
    assert tone.notes == ("P1.0.0", "P1.1.0", "P1.2.0")
    assert tone.stop_s - tone.start_s == pytest.approx(12.0)


def test_a_repeated_note_without_tie_is_two_tones() -> None:
    """Only a tie joins notes."""
    assert len(flute("C5/1 | C5 |").tones) == 2


def test_chords_are_tied_pitch_by_pitch() -> None:
    """In a tied chord every pitch has its own chain."""
    tones = told("part Piano\n[C4 E4 G4]/1~ | [C4 E4 G4] |\n").tones
    assert sorted(tone.midi for tone in tones) == [60.0, 64.0, 67.0]
    assert all(len(tone.notes) == 2 for tone in tones)


TIES_ACROSS_VOICES = """<score-partwise version="4.0"><part-list><score-part id="P1">
<part-name>Bassoon 1</part-name></score-part></part-list><part id="P1">
<measure number="1"><attributes><divisions>1</divisions><time><beats>2</beats>
<beat-type>4</beat-type></time></attributes>
<note><pitch><step>C</step><octave>4</octave></pitch><duration>2</duration><tie type="start"/>
<voice>1</voice></note></measure>
<measure number="2"><note><pitch><step>E</step><octave>4</octave></pitch><duration>2</duration>
<voice>1</voice></note><backup><duration>2</duration></backup>
<note><pitch><step>C</step><octave>4</octave></pitch><duration>2</duration><tie type="stop"/>
<voice>2</voice></note></measure></part></score-partwise>"""


def test_a_tie_may_change_voice() -> None:
    """A tie that begins in voice 1 and ends in voice 2 is one tone."""
    playing = play(read_bytes(TIES_ACROSS_VOICES.encode(), "ties.musicxml"), Forces())
    assert sorted((tone.midi, len(tone.notes)) for tone in playing.tones) == [(60.0, 2), (64.0, 1)]


def test_graces_come_just_before_and_steal_nothing() -> None:
    """Two graces stand before the main note, which keeps its full length."""
    score = page("part Flute\nC5/2 ^D5 ^E5 F5 |\n")
    tones = tones_of(play(score, Forces()), "P1")
    first, one, two, main = sorted(tones, key=lambda tone: tone.start_s)
    assert (first.stop_s, main.start_s, main.stop_s) == (2.0, 2.0, 4.0)
    assert one.start_s == pytest.approx(2.0 - 2 * GRACE_SECONDS)
    assert two.start_s == pytest.approx(2.0 - GRACE_SECONDS)
    assert two.stop_s == pytest.approx(2.0)
    assert one.start == one.stop == main.start


def test_accents_raise_the_attack_of_the_whole_chord() -> None:
    """Four decibels at the attack (acoustics: starting table, interpolated)."""
    tones = told("part Violin 1\n[C5 E5]/2:accent D5:strong-accent | E5/1:staccato |\n").tones
    assert [tone.accent_db for tone in tones] == [4.0, 4.0, 4.0, 0.0]


LEFT_OUT = """<score-partwise version="4.0"><part-list><score-part id="P1">
<part-name>Flute</part-name></score-part></part-list><part id="P1">
<measure number="1"><attributes><divisions>1</divisions><time><beats>4</beats>
<beat-type>4</beat-type></time></attributes>
<note><cue/><pitch><step>C</step><octave>5</octave></pitch><duration>1</duration></note>
<note print-object="no"><pitch><step>D</step><octave>5</octave></pitch><duration>1</duration></note>
<note><pitch><step>E</step><octave>5</octave></pitch><duration>1</duration></note>
<note><rest/><duration>1</duration></note></measure></part></score-partwise>"""


def test_cues_hidden_notes_and_rests_do_not_sound() -> None:
    """Of cue, hidden note, note and rest only the note is a tone."""
    playing = play(read_bytes(LEFT_OUT.encode(), "cues.musicxml"), Forces())
    assert [tone.midi for tone in playing.tones] == [76.0]


def test_unpitched_notes_are_kept() -> None:
    """A note of unpitched percussion is a tone marked as unpitched."""
    (tone,) = told("part Snare drum | clef=percussion\nC5/1 |\n").tones
    assert (tone.unpitched, tone.midi, tone.line) == (True, 60.0, 0)


def test_tones_are_sorted() -> None:
    """Tones come by start, then line, then pitch."""
    tones = told("part Flute\nC5/2 D5 |\npart Violin 1\n[C4 E4]/1 |\n").tones
    assert [(tone.start_s, tone.line, tone.midi) for tone in tones] == [
        (0.0, 0, 72.0), (0.0, 1, 60.0), (0.0, 1, 64.0), (2.0, 0, 74.0),
    ]  # fmt: skip


def test_transposed_parts_sound_at_concert_pitch() -> None:
    """Written C5 on a horn in F sounds F4, on a piccolo C6, on a double bass C4."""
    page_text = (
        "part Horn in F | transpose=-7\nC5/1 |\npart Piccolo | transpose=12\nC5/1 |\n"
        "part Contrabass | transpose=-12\nC5/1 |\npart Flute\nC5/1 |\n"
    )
    assert [tone.midi for tone in told(page_text).tones] == [65.0, 84.0, 60.0, 72.0]


def test_the_level_at_both_ends_of_a_tone() -> None:
    """A long note under a hairpin starts at p and ends at f."""
    tone = flute("p < C5/1 = | f D5 |").tones[0]
    assert (tone.level, tone.level_stop) == (3.0, 6.0)


def test_a_tie_past_another_note_is_struck_apart() -> None:
    """Nobody can hold a note through another of its height: all three are tones of their own."""
    tied = '<notations><tied type="{}"/></notations>'
    bars = [NOTE.format(tied.format("start")), NOTE.format(""), NOTE.format(tied.format("stop"))]
    tones = play(score_of_bars(*bars), Forces()).tones
    assert [(tone.bar, tone.stop - tone.start) for tone in tones] == [(0, 4), (1, 4), (2, 4)]
