"""MIDI for listening, read back with mido and music21, which know nothing of our writer."""

import io
from collections import Counter
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from mido import MidiFile

from redstave.model.line import (
    LEVEL_NUMBERS,
    WORKING_ORCHESTRA,
    Playing,
    TempoMap,
    TempoPoint,
    ramp_seconds,
)
from redstave.players.play import play
from redstave.reading import read, read_bytes
from redstave.writing import to_midi
from redstave.writing.midi import joined, velocity
from redstave.writing.pace import pace_of
from redstave.writing.sounds import CHANNELS, Sound, settings_of

# Program numbers and the percussion channel: General MIDI System Level 1 (from memory), held
# against the names that music21 gives them in `test_sounds_are_those_of_general_midi`.


def told(text: str) -> Playing:
    """What the players of a tiny score are told."""
    return play(read_bytes(text.encode(), "midi.tiny"), WORKING_ORCHESTRA)


def opened(data: bytes) -> MidiFile:
    """A MIDI file as mido reads it."""
    return MidiFile(file=io.BytesIO(data), charset="utf-8")


def notes(file: MidiFile, stream: int) -> list[tuple[Fraction, Fraction, int, int]]:
    """Onset and length in quarters, key and velocity of the notes of a stream, in order."""
    at, open_notes, found = 0, {}, []
    for message in file.tracks[stream]:
        at += message.time
        if message.type == "note_on":
            open_notes.setdefault((message.channel, message.note), []).append(
                (at, message.velocity)
            )
        elif message.type == "note_off":
            begun, strength = open_notes[message.channel, message.note].pop(0)
            found.append((begun, at - begun, message.note, strength))
    assert not any(open_notes.values())
    quarter = file.ticks_per_beat
    return sorted((Fraction(a, quarter), Fraction(b, quarter), c, d) for a, b, c, d in found)


def test_onsets_lengths_and_pitch_are_exact() -> None:
    """Notes, tuplets included, stand where the page has them and sound at concert pitch."""
    playing = told(
        "part Clarinet in B flat | transpose=-2\n"
        "mf C5/4 {3:2 D5/8 E5 F5} r/4 G5/8 A5/16 B5 | C5/2~ C5/2 |.\n"
        "part Viola\nR | [C4 G4]/2~ [C4 G4]/2 |.\n"
    )
    third = Fraction(1, 3)
    assert [one[:3] for one in notes(opened(to_midi(playing)), 1)] == [
        (0, 1, 70),
        (1, third, 72),
        (1 + third, third, 74),
        (1 + 2 * third, third, 75),
        (3, Fraction(1, 2), 77),
        (Fraction(7, 2), Fraction(1, 4), 79),
        (Fraction(15, 4), Fraction(1, 4), 81),
        (4, 4, 70),
    ]
    assert [one[:3] for one in notes(opened(to_midi(playing)), 2)] == [(4, 4, 60), (4, 4, 67)]


def test_a_line_is_a_stream_under_its_name() -> None:
    """Each line has one stream of its own, in the order of the lines, after that of the tempo."""
    playing = told(
        'title: Zwei Hörner\npart Flöte 1. 2\n"1." p C5/1 | "a 2" C5 |.\npart Viola\nC4/1 | C4 |.\n'
    )
    file = opened(to_midi(playing, "Zwei Hörner"))
    names = [stream.name for stream in file.tracks]
    assert names == ["Zwei Hörner", *(line.name for line in playing.lines)]
    assert len(names) == 4


def test_sounds_are_those_of_general_midi() -> None:
    """music21, by its own table of General MIDI, hears the instruments that the page names."""
    music21 = pytest.importorskip("music21")
    names = {
        "Oboe": "Oboe",
        "Horn": "Horn",
        "Trumpet": "Trumpet",
        "Timpani": "Timpani",
        "Harp": "Harp",
        "Piccolo": "Piccolo",
        "Bassoon": "Bassoon",
        "Cor Anglais": "EnglishHorn",
        "Celesta": "Celesta",
        "Tuba": "Tuba",
    }
    text = "".join(f"part {name}\nC4/1 |.\n" for name in names)
    file = opened(to_midi(told(text)))
    heard = [
        type(music21.instrument.instrumentFromMidiProgram(message.program)).__name__
        for stream in file.tracks
        for message in stream
        if message.type == "program_change"
    ]
    assert heard == list(names.values())


def test_percussion_without_pitch_is_on_the_tenth_channel() -> None:
    """Bass drum and triangle are keys 36 and 81 of the percussion channel (General MIDI)."""
    playing = told(
        "part Bass Drum | clef=percussion\nC4/1 |.\npart Triangle | clef=percussion\nC4/1 |.\n"
    )
    file = opened(to_midi(playing))
    struck = [
        (message.channel + 1, message.note)
        for stream in file.tracks
        for message in stream
        if message.type == "note_on"
    ]
    assert struck == [(10, 36), (10, 81)]


def test_pizzicato_and_arco_have_sounds_of_their_own() -> None:
    """Plucked strings use Pizzicato Strings (46), bowed sections String Ensemble 1 (49)."""
    file = opened(to_midi(told('part Viola\n"pizz." C4/2 "arco" D4/2 |.\n')))
    programs = {
        message.channel: message.program + 1
        for message in file.tracks[1]
        if message.type == "program_change"
    }
    played = [programs[message.channel] for message in file.tracks[1] if message.type == "note_on"]
    assert played == [46, 49]


def test_a_louder_level_has_a_higher_velocity() -> None:
    """From ppp to fff velocity rises at every step and stays within MIDI's 1 to 127."""
    row = [velocity(number) for number in LEVEL_NUMBERS.values()]
    assert row == sorted(set(row))
    assert row[0] >= 1
    assert row[-1] == 127
    assert velocity(5, accent_db=6.0) > velocity(5)


def test_a_note_struck_again_at_once_is_struck_again() -> None:
    """At one tick a note ends before it begins anew, in all streams of one channel together."""
    playing = told("part Horn 1\nC4/2 r/2 | C4/2 C4/2 |.\npart Horn 2\nr/2 C4/2 | r/1 |.\n")
    file = opened(to_midi(playing))
    sounding: Counter[tuple[int, int]] = Counter()
    struck = 0
    for message in file:  # all streams merged, in the order of the file
        if message.type == "note_on":
            assert sounding[message.channel, message.note] == 0
            sounding[message.channel, message.note] += 1
            struck += 1
        elif message.type == "note_off":
            sounding[message.channel, message.note] -= 1
    assert struck == 4


def test_a_held_note_told_something_new_is_struck_once() -> None:
    """Tones that continue one another without an attack are one note of MIDI."""
    (tone,) = told("part Horn\nC4/1 |.\n").tones
    half = (tone.start + tone.stop) // 2
    first, second = tone._replace(stop=half), tone._replace(start=half, continued=True)
    assert [(one.start, one.stop) for one in joined([first, second])] == [(tone.start, tone.stop)]
    again = second._replace(continued=False)
    assert joined([first, again]) == [first, again]


def seconds_at(file: MidiFile, tick: int) -> float:
    """When a tick comes, by the file's own steps of tempo."""
    at, now, tempo = 0, 0.0, 500_000
    for message in file.tracks[0]:
        if at + message.time > tick:
            break
        now += message.time * tempo / 1e6 / file.ticks_per_beat
        at += message.time
        if message.type == "set_tempo":
            tempo = message.tempo
    return now + (tick - at) * tempo / 1e6 / file.ticks_per_beat


@given(
    st.lists(
        st.tuples(st.integers(1, 16), st.floats(20, 300), st.floats(20, 300), st.floats(0, 4)),
        min_size=1,
        max_size=6,
    )
)
def test_time_is_kept(stretches: list[tuple[int, float, float, float]]) -> None:
    """Through steps, moving tempos and silences, what begins on a quarter begins in time.

    The tempo map's own seconds are the reference; music21 and mido know no others.
    """
    points, tick, second = [], 0, 0.0
    for quarters, tempo, goal, pause in stretches:
        pause = pause if tick else 0.0
        points.append(TempoPoint(tick, second + pause, tempo, goal, pause))
        tick += 4 * quarters
        second = points[-1].second + ramp_seconds(tempo, goal, quarters, quarters)
    tempo_map = TempoMap(4, (*points, TempoPoint(tick, second, 60.0, 60.0)), assumed=False)
    playing = Playing((), (), {}, tempo_map)
    file = opened(to_midi(playing))
    for position in range(0, tick + 1, 4):
        expected = tempo_map.seconds(position)
        assert seconds_at(file, position * file.ticks_per_beat // 4) == pytest.approx(
            expected, abs=1e-4
        )


def test_what_ends_before_a_silence_ends_before_it() -> None:
    """A note that ends where a silence stands does not sound into the silence."""
    points = (TempoPoint(0, 0.0, 60.0, 60.0), TempoPoint(16, 6.0, 60.0, 60.0, 2.0))
    pace = pace_of(TempoMap(4, points, assumed=False), {0, 16})
    assert pace.end(16) < pace.tick(16)
    assert pace.end(12) == pace.tick(12)
    held = (pace.tick(16) - pace.end(16)) / pace.resolution  # quarters, of a second each
    assert held < 0.5


def test_more_programs_than_channels_share() -> None:
    """Seventeen programs fit fifteen channels; the rarest go to a neighbour in the list."""
    sounds = [Sound(program) for program in range(60, 77) for _ in range(program)]
    settings = settings_of(sounds)
    assert {setting.channel for setting in settings.values()} == set(CHANNELS)
    assert settings[60].program == settings[61].program == 62
    assert all(settings[program].program == program for program in range(62, 77))


@pytest.mark.corpus
def test_an_orchestra_is_kept_whole(scores: Path) -> None:
    """Every attack of every line of a large score stands at its onset in the file."""
    score = read(scores / "orchestra" / "Boulanger_Dun_matin_de_printemps.mxl")
    playing = play(score, WORKING_ORCHESTRA)
    file = opened(to_midi(playing, score.title))
    tones = joined(playing.tones)
    assert len(tones) > 8000
    for index in range(len(playing.lines)):
        ours = Counter(
            (
                Fraction(tone.start, score.ticks_per_quarter),
                None if tone.unpitched else round(tone.midi),
            )
            for tone in tones
            if tone.line == index
        )
        drums = {
            message.note
            for message in file.tracks[index + 1]
            if message.type == "note_on" and message.channel == 9
        }
        theirs = Counter(
            (onset, None if key in drums else key) for onset, _, key, _ in notes(file, index + 1)
        )
        assert theirs == ours
    assert file.length == pytest.approx(max(tone.stop_s for tone in tones), abs=0.01)
