"""The voices of the piano piece: tune, bass, inner voices, figures, and the teacher's word."""

from collections.abc import Sequence

import pytest

from benchmarks.pairing.music import piece
from redstave.base.errors import InputError
from redstave.model.line import WORKING_ORCHESTRA
from redstave.model.match import Choice, SourceTone, SourceVoice, VoiceOverride
from redstave.model.role import Role
from redstave.model.score import Score
from redstave.original.voices import source_voices
from redstave.players import play
from redstave.reading import read_bytes

Voices = tuple[tuple[SourceTone, ...], tuple[SourceVoice, ...]]


def voices(text: str | Score, *said: VoiceOverride) -> Voices:
    """Return the tones and voices of a piano piece."""
    if isinstance(text, str):
        text = read_bytes(
            f"title: X\nmeter: 4/4\npart Piano | staves=2\n{text}\n".encode(), "x.tiny"
        )
    return source_voices(text, play(text, WORKING_ORCHESTRA), said)


def pitches(found: Voices, name: str) -> list[int]:
    """Return the pitches of a voice in order of time."""
    tones, names = found
    return [tone.midi for tone in tones if names[tone.voice].name == name]


def names(some: Sequence[SourceVoice]) -> list[str]:
    """Return the names of voices."""
    return [one.name for one in some]


LEFT = "C3/8 G3 E3 G3 C3 G3 E3 G3"
MELODY = "E5/4 D5 C5/2"


def test_a_tune_over_broken_chords() -> None:
    """The right hand is the tune, the lowest notes of the left the bass, the rest a figure."""
    found = voices(f"{MELODY} // {LEFT} |")
    assert names(found[1]) == ["tune", "bass", "left-hand figure"]
    assert pitches(found, "tune") == [76, 74, 72]
    assert pitches(found, "bass") == [48, 48]
    assert pitches(found, "left-hand figure") == [55, 52, 55, 55, 52, 55]
    assert [one.role for one in found[1]] == [Role.TUNE, Role.BASS, Role.FIGURE]


def test_a_tune_in_the_left_hand() -> None:
    """Under a figure of the right hand the moving line of the left is the tune."""
    figure = "C5/8 E5 G5 E5 C5 E5 G5 E5"
    found = voices(f"{figure} // E4/4 D4 C4 B3 | {figure} // A3/4 B3 C4 E4 |")
    assert pitches(found, "tune") == [64, 62, 60, 59, 57, 59, 60, 64]
    assert set(pitches(found, "right-hand figure")) == {72, 76, 79}


def test_a_louder_line_under_a_standing_chord_leads() -> None:
    """Repeated chords above, p, and a slurred line below, mf: the line below is the tune."""
    chord = "[C5 E5 G5]"
    found = voices(
        f"r/8 p {chord}/4 {chord} {chord} {chord}/8 // mf E3/4( G3 C4 B3 | "
        f"r/8 {chord}/4 {chord} {chord} {chord}/8 // A3/2 G3) |"
    )
    assert pitches(found, "tune") == [52, 55, 60, 59, 57, 55]


def test_octaves_belong_to_the_voice_they_double() -> None:
    """Both notes of an octave are tune, or bass, if they are struck and left together."""
    found = voices("[E4 E5]/4 [D4 D5] [C4 C5]/2 // [C2 C3]/2 [G1 G2]/2 |")
    assert pitches(found, "tune") == [64, 76, 62, 74, 60, 72]
    assert pitches(found, "bass") == [36, 48, 31, 43]


def test_notes_under_a_held_tune_are_inner() -> None:
    """What is struck beneath a note that is still held is no part of the tune."""
    found = voices("E5/1 & C4/4 B3 A3 G3 // C3/1 |")
    assert pitches(found, "tune") == [76]
    assert pitches(found, "right-hand inner") == [60, 59, 57, 55]


@pytest.mark.parametrize("seed", range(6))
def test_invented_tunes_are_found(seed: int) -> None:
    """At least 95 % of the highest notes of the right hand are tune, where it alone has one."""
    found = voices(piece(seed))
    tops: dict[int, int] = {}
    for tone in found[0]:
        if tone.stave == 1:
            tops[tone.start] = max(tone.midi, tops.get(tone.start, 0))
    tune = names(found[1]).index("tune")
    highest = [one for one in found[0] if one.stave == 1 and one.midi == tops[one.start]]
    assert sum(one.voice == tune for one in highest) >= 0.95 * len(highest)


def test_every_tone_has_a_voice_and_every_voice_a_tone() -> None:
    """Numbers of voices fit the tones, and no voice is named that never sounds."""
    for seed in range(4):
        tones, some = voices(piece(seed))
        assert {tone.voice for tone in tones} == set(range(len(some)))
        assert len(set(names(some))) == len(some)


def test_the_teacher_overrules() -> None:
    """The highest notes of a stave can be made the tune, a whole stave a new voice."""
    said = VoiceOverride(0, 0, 2, Choice.HIGHEST, "counter 1")
    found = voices(f"{MELODY} // {LEFT} | {MELODY} // {LEFT} |", said)
    assert len(pitches(found, "counter 1")) == 8
    assert {one.role for one in found[1] if one.name == "counter 1"} == {Role.COUNTER}
    both = voices(
        f"{MELODY} // {LEFT} |",
        VoiceOverride(0, 0, 0, Choice.ALL, "all of it"),
        VoiceOverride(0, 0, 1, Choice.LOWEST, "bass"),
    )
    assert names(both[1]) == ["bass", "all of it"]
    assert pitches(both, "bass") == [76, 74, 72]
    assert both[1][1].role is Role.INNER


@pytest.mark.parametrize(
    "said",
    [
        VoiceOverride(0, 5, 1, Choice.ALL, "tune"),
        VoiceOverride(1, 0, 1, Choice.ALL, "tune"),
        VoiceOverride(0, 0, 3, Choice.ALL, "tune"),
        VoiceOverride(0, 0, 1, Choice.ALL, ""),
    ],
)
def test_a_word_must_fit_the_piece(said: VoiceOverride) -> None:
    """Bars or staves that are not there are refused in one sentence."""
    with pytest.raises(InputError, match="choose from those"):
        voices(f"{MELODY} // {LEFT} |", said)
