"""Levels of a score that came as MIDI: estimated from how hard tones are struck, and said so."""

import io
from collections.abc import Sequence

import pytest
from mido import Message, MetaMessage, MidiFile, MidiTrack

from redstave.model.line import LEVEL_NUMBERS, WORKING_ORCHESTRA, Playing, level_of_velocity
from redstave.players.play import play
from redstave.reading import read_bytes
from redstave.writing import to_midi
from tests.reading.inline import NOTE, score_of_bars


def struck(*bars: Sequence[int]) -> bytes:
    """Return a MIDI file of one flute: in each bar of four quarters, quarters of these velocities.

    A velocity of 0 is a rest.
    """
    messages = [MetaMessage("track_name", name="Flute"), Message("program_change", program=73)]
    wait = 0
    for velocity in (velocity for bar in bars for velocity in bar):
        if velocity:
            messages.append(Message("note_on", note=72, velocity=velocity, time=wait))
            messages.append(Message("note_off", note=72, time=480))
            wait = 0
        else:
            wait += 480
    file = MidiFile(ticks_per_beat=480)
    file.tracks.append(MidiTrack(messages))
    content = io.BytesIO()
    file.save(file=content)
    return content.getvalue()


def levels(playing: Playing) -> list[tuple[int, float, bool]]:
    """Return bar, level and whether the page says it, of each tone."""
    return [(tone.bar, tone.level, tone.level_known) for tone in playing.tones]


def test_each_bar_has_the_level_that_most_of_its_tones_are_struck_with() -> None:
    """The median of a bar: an accent passes, a rest says nothing, and nothing is called known."""
    score = read_bytes(struck([96] * 4, [0, 48, 48, 120], [0] * 4, [48, 50, 47, 49]), "x.mid")
    assert levels(play(score, WORKING_ORCHESTRA)) == [
        *[(0, 6, False)] * 4,
        *[(1, 3, False)] * 3,
        *[(3, 3, False)] * 4,
    ]
    (mark, later) = score.parts[0].marks_of("sound")
    assert (mark.offset, later.bar, later.offset) == (0, 1, score.ticks_per_quarter)
    assert dict(mark.attributes)["dynamics"] == "106.67"  # percent of a forte of 90: MusicXML 4.0


def test_what_is_estimated_is_said() -> None:
    """In the problem that says that the file is MIDI, and among what the review had to assume."""
    score = read_bytes(struck([96] * 4, [48] * 4), "x.mid")
    assert "estimated from how hard tones are struck" in score.problems[0].text
    playing = play(score, WORKING_ORCHESTRA)
    codes = [question.code for question in playing.open_questions]
    assert "levels-from-velocity" in codes
    assert "no-first-level" not in codes


def test_tones_struck_alike_say_nothing() -> None:
    """One velocity for all is what programs write where they know none: mf is assumed, and said."""
    score = read_bytes(struck([90] * 4, [90] * 4), "x.mid")
    assert "All its tones are struck alike (velocity 90)" in score.problems[0].text
    assert not list(score.parts[0].marks_of("sound"))
    playing = play(score, WORKING_ORCHESTRA)
    assert {(level, known) for _, level, known in levels(playing)} == {(5.0, False)}
    assert "no-first-level" in [question.code for question in playing.open_questions]


def test_playback_of_a_page_is_no_level() -> None:
    """What a page's file tells playback is not what it tells players."""
    score = score_of_bars('<sound dynamics="30"/>' + NOTE.format(""))
    assert levels(play(score, WORKING_ORCHESTRA)) == [(0, 5.0, False)]


def test_a_forte_is_that_of_musicxml() -> None:
    """MusicXML 4.0 puts the forte of MIDI at 90 (attribute `dynamics` of <sound>)."""
    assert level_of_velocity(90) == LEVEL_NUMBERS["f"]
    assert [level_of_velocity(velocity) for velocity in (1, 127)] == [1, 8]


def test_levels_written_for_listening_come_back() -> None:
    """From ppp to fff, what we write as MIDI is read as the same levels."""
    text = "part Flute\n" + " | ".join(f"{level} C5/4 D5 E5 F5" for level in LEVEL_NUMBERS) + " |"
    written = play(read_bytes(text.encode(), "x.tiny"), WORKING_ORCHESTRA)
    again = play(read_bytes(to_midi(written), "x.mid"), WORKING_ORCHESTRA)
    assert [tone.level for tone in again.tones] == [tone.level for tone in written.tones]


def test_levels_that_music21_writes_keep_their_order() -> None:
    """It spaces levels more widely (ppp 27 … ff 127): none is off by more than two, most by one."""
    music21 = pytest.importorskip("music21")
    part = music21.stream.Part()
    for level in LEVEL_NUMBERS:
        bar = music21.stream.Measure()
        bar.append([music21.dynamics.Dynamic(level), music21.note.Note("C5", type="whole")])
        part.append(bar)
    data = music21.midi.translate.music21ObjectToMidiFile(part).writestr()
    tones = play(read_bytes(data, "x.mid"), WORKING_ORCHESTRA).tones
    found = [tone.level for tone in tones]
    off = [level - number for level, number in zip(found, LEVEL_NUMBERS.values(), strict=True)]
    assert found == sorted(found)
    assert max(map(abs, off)) <= 2
    assert sum(abs(one) <= 1 for one in off) >= 7
