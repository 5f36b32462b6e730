"""Signs drawn over the stave, or on a note, that say what a word says (MusicXML 4.0)."""

import pytest

from redstave.model.line import Forces
from redstave.model.score import Score
from redstave.players import play
from redstave.players.stand import chairs, stand_of
from redstave.reading import read_bytes

NOTE = (
    "<note><pitch><step>D</step><octave>5</octave></pitch><duration>4</duration>"
    "<type>whole</type>{}</note>"
)
SIGN = "<direction><direction-type>{}</direction-type></direction>"
ON, OFF = '<string-mute type="on"/>', '<string-mute type="off"/>'


def _score(name: str, *bars: str) -> Score:
    """Return a part with one whole note a bar; `bars` are what stands before or on it."""
    measures = "".join(
        f'<measure number="{number}">'
        + ("<attributes><divisions>1</divisions></attributes>" if number == 1 else "")
        + (bar + NOTE.format("") if not bar.startswith("<notations>") else NOTE.format(bar))
        + "</measure>"
        for number, bar in enumerate(bars, 1)
    )
    return read_bytes(
        '<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>'
        f'{name}</part-name></score-part></part-list><part id="P1">{measures}</part>'
        "</score-partwise>".encode(),
        "signs.musicxml",
    )


def _techniques(score: Score) -> list[str]:
    return [tone.technique for tone in play(score, Forces()).tones]


@pytest.mark.parametrize(
    ("on", "off"),
    [(ON, OFF), ("<symbol>stringsMuteOn</symbol>", "<symbol>stringsMuteOff</symbol>")],
)
def test_the_signs_of_mutes_hold_like_words(on: str, off: str) -> None:
    """A mute stays on from its sign to the sign that takes it off, through what is between."""
    score = _score("Violin I", "", SIGN.format(on), "", SIGN.format(off))
    assert _techniques(score) == ["", "mute", "mute", ""]


def test_a_sign_and_a_word_cancel_each_other() -> None:
    """“senza sord.” takes off a mute that a sign has put on."""
    word = "<words>senza sord.</words>"
    score = _score("Viola", SIGN.format(ON), SIGN.format(word))
    assert _techniques(score) == ["mute", ""]


def test_other_signs_change_nothing() -> None:
    """Spectacles, and a symbol that is no mute, are no technique."""
    signs = (SIGN.format("<eyeglasses/>"), SIGN.format("<symbol>segno</symbol>"))
    assert _techniques(_score("Viola", *signs)) == ["", ""]


def test_a_wind_player_has_no_string_mute() -> None:
    """Copied into a flute's stave it is a slip of the pen, as the word is."""
    assert _techniques(_score("Flute", SIGN.format(ON))) == [""]


def test_the_sign_of_a_harmon_mute_is_for_its_note() -> None:
    """The circle of a harmon mute holds for the note that bears it."""
    sign = (
        "<notations><technical><harmon-mute><harmon-closed>yes</harmon-closed></harmon-mute>"
        "</technical></notations>"
    )
    assert _techniques(_score("Trumpet in C", sign, "")) == ["mute", ""]


def test_the_player_reads_the_sign_as_its_word() -> None:
    """The stand tells where the mute comes on and off."""
    score = _score("Violin I", "", SIGN.format(ON), SIGN.format(OFF))
    playing = play(score, Forces())
    said = repr(stand_of(score, playing, chairs(playing)[0]))
    assert "con sord." in said
    assert "senza sord." in said
