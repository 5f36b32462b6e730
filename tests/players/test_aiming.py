"""Levels in force for each player of a shared stave.

Where marks stand: below the stave, above it for the upper of two players who differ (reference
notes on notation, from memory).
"""

from redstave.model.line import Forces, Playing
from redstave.players import level_at, play
from redstave.reading import read_bytes
from tests.players.pages import told


def _levels(playing: Playing, line: str) -> list[float]:
    """Return the levels of the tones of one line in the order of time."""
    index = next(at for at, one in enumerate(playing.lines) if one.id == line)
    return [tone.level for tone in playing.tones if tone.line == index]


FLUTES = "part Flutes 1. 2\n"


def test_two_voices_with_levels_of_their_own() -> None:
    """“f” above and “p” below at one place: each player has his own until the next common mark."""
    playing = told(FLUTES + "f E5/1 & p C5/1 | E5 & C5 | mf [C5 E5]/1 |\n")
    assert _levels(playing, "P1.1") == [6.0, 6.0, 5.0]
    assert _levels(playing, "P1.2") == [3.0, 3.0, 5.0]


def test_a_level_below_two_voices_is_everyones() -> None:
    """One mark below the stave holds for both voices."""
    playing = told(FLUTES + "p E5/1 & C5/1 | f [C5 E5]/1 |\n")
    assert _levels(playing, "P1.1") == _levels(playing, "P1.2") == [3.0, 6.0]


def test_a_level_of_the_lower_voice_is_the_lower_players() -> None:
    """A mark that the file gives to the lower voice leaves the upper player alone."""
    playing = told(FLUTES + "f E5/1 & R | E5/1 & p C5/1 |\n")
    assert _levels(playing, "P1.1") == [6.0, 6.0]
    assert _levels(playing, "P1.2") == [3.0]


def test_a_hairpin_of_one_voice() -> None:
    """The upper player swells to forte while the lower stays piano."""
    playing = told(FLUTES + "p < E5/2 F5 = & p C5/1 | f G5/1 & p C5/1 |\n")
    upper, lower = (playing.levels[f"P1.{number}"] for number in (1, 2))
    bar = playing.tempo.ticks_per_quarter * 4
    assert level_at(upper, bar // 2).level == 4.5
    assert level_at(upper, bar).level == 6.0
    assert {level_at(lower, tick).level for tick in (0, bar // 2, bar)} == {3.0}


def test_an_accent_of_one_voice() -> None:
    """“sf” above is the upper player's accent only."""
    playing = told(FLUTES + "sf E5/1 & p C5/1 |\n")
    found = {playing.lines[tone.line].id: tone.accent_db for tone in playing.tones}
    assert found["P1.1"] > 0.0
    assert found["P1.2"] == 0.0


def test_a_divided_section_has_levels_for_its_halves() -> None:
    """The upper half forte, the lower piano; together again they obey the next mark."""
    playing = told('part Violin I\nf E5/1 & p C5/1 | mf "unis." D5 |\n')
    assert _levels(playing, "P1.a") == [6.0]
    assert _levels(playing, "P1.b") == [3.0]
    assert _levels(playing, "P1") == [5.0]


def test_a_numbered_word_of_technique_is_that_players() -> None:
    """“2. con sord.” mutes the second horn and not the first; “senza sord.” is for both."""
    bars = '"2. con sord." [C5 E5]/1 | [D5 F5] | "senza sord." [C5 E5] |'
    playing = told(f"part Horns 1. 2\n{bars}\n")
    found = [(playing.lines[t.line].id, t.bar, t.technique) for t in playing.tones]
    assert sorted(found) == [
        ("P1.1", 0, ""), ("P1.1", 1, ""), ("P1.1", 2, ""),
        ("P1.2", 0, "mute"), ("P1.2", 1, "mute"), ("P1.2", 2, ""),
    ]  # fmt: skip


def test_a_technique_beside_a_number_is_that_players() -> None:
    """“I.” and “con sord.” at one place: only the first horn is muted in the chords after."""
    playing = told('part Horns 1. 2\n"I." "con sord." C5/1 | [C5 E5] |\n')
    found = {(playing.lines[t.line].id, t.bar): t.technique for t in playing.tones}
    assert found == {("P1.1", 0): "mute", ("P1.1", 1): "mute", ("P1.2", 1): ""}


NOTE = "<note>{pitch}<duration>{length}</duration><voice>{voice}</voice></note>"
MARK = (
    '<direction placement="{side}"><direction-type><dynamics><{level}/></dynamics>'
    "</direction-type></direction>"
)
REST = "<rest/>"


def _pitch(step: str) -> str:
    return f"<pitch><step>{step}</step><octave>5</octave></pitch>"


def _entering(side: str, upper_rests: bool) -> Playing:
    """Return a bar in which the lower player enters at the half, with a level on one side.

    The upper player holds from the beginning with “f”, or rests all the way.
    """
    top = REST if upper_rests else _pitch("E")
    text = (
        '<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>2 Oboes'
        '</part-name></score-part></part-list><part id="P1"><measure number="1"><attributes>'
        "<divisions>1</divisions><time><beats>4</beats><beat-type>4</beat-type></time>"
        "</attributes>"
        + MARK.format(side="below", level="f")
        + NOTE.format(pitch=top, length=4, voice=1)
        + "<backup><duration>4</duration></backup>"
        + NOTE.format(pitch=REST, length=2, voice=2)
        + MARK.format(side=side, level="p")
        + NOTE.format(pitch=_pitch("C"), length=2, voice=2)
        + '</measure><measure number="2">'
        + NOTE.format(pitch=_pitch("E"), length=4, voice=1)
        + "<backup><duration>4</duration></backup>"
        + NOTE.format(pitch=_pitch("C"), length=4, voice=2)
        + "</measure></part></score-partwise>"
    )
    return play(read_bytes(text.encode(), "entering.musicxml"), Forces())


def test_a_level_below_at_the_lower_players_entry_is_his() -> None:
    """While the upper player plays on, the mark that meets the entering lower one is for him."""
    playing = _entering("below", upper_rests=False)
    assert _levels(playing, "P1.1") == [6.0, 6.0]
    assert _levels(playing, "P1.2") == [3.0, 3.0]


def test_a_level_below_while_the_upper_player_rests_is_everyones() -> None:
    """Nobody else plays: the mark is the stave's, and the upper player enters with it."""
    playing = _entering("below", upper_rests=True)
    assert _levels(playing, "P1.1") == [3.0]
    assert _levels(playing, "P1.2") == [3.0, 3.0]


def test_a_level_above_two_voices_is_the_upper_players() -> None:
    """Placement above tells it apart, whoever enters."""
    playing = _entering("above", upper_rests=False)
    assert _levels(playing, "P1.1") == [6.0, 3.0]
    assert _levels(playing, "P1.2") == [6.0, 6.0]
