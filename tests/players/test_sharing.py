"""How many players play each tone."""

import pytest

from redstave.model.line import Forces, Line
from redstave.players.sharing import player_numbers, read_label
from tests.players.pages import told, tones_of

PAIR = Line("P1", "Fl. 1. 2", "P1", "flute", "woodwind", (1, 2), 2, False)
LOW_HORNS = Line("P1", "Cor. 3. 4", "P1", "horn", "brass", (3, 4), 2, False)
SECTION = Line("P1", "Violin 1", "P1", "violin", "strings", (1,), 14, True)


def _players(part: str, bars: str) -> list[float]:
    return [tone.players for tone in tones_of(told(f"part {part}\n{bars}\n"), "P1")]


def _asked(part: str, bars: str) -> bool:
    questions = told(f"part {part}\n{bars}\n").open_questions
    return any("no word says which" in question.text for question in questions)


@pytest.mark.parametrize(
    ("text", "numbers"),
    [
        ("1.", (1,)), ("I.", (1,)), ("1º", (1,)), ("1°", (1,)), ("2do", (2,)), ("2. solo", (2,)),
        ("1 solo", (1,)), ("I. Solo.", (1,)), ("1., 2.", (1, 2)), ("I. II.", (1, 2)),
        ("1. espr.", (1,)), ("1", ()), ("2", ()), ("6.", ()), ("12.", ()), ("3.", ()),
        ("Il canto", ()), ("In tempo", ()),
    ],
)  # fmt: skip
def test_numbers_of_players(text: str, numbers: tuple[int, ...]) -> None:
    """Stopped, ordinal and Roman numbers name players; bare figures may be fingers."""
    assert player_numbers(text, PAIR) == numbers


def test_numbers_belong_to_the_stave() -> None:
    """“3.” names a player on the stave of horns 3 and 4, “1.” does not."""
    assert player_numbers("3.", LOW_HORNS) == (3,)
    assert player_numbers("1.", LOW_HORNS) == ()


@pytest.mark.parametrize("text", ["a 2", "a2", "à 2", "a due", "zu 2", "unis.", "a. 2", "Tutti"])
def test_words_for_all_players(text: str) -> None:
    """“a 2” and its relatives give a single line to both players."""
    assert read_label(text, PAIR) == 2.0


@pytest.mark.parametrize(
    ("text", "players"),
    [
        ("solo", 1), ("Tous div. en 2", 14), ("la moitié", 7), ("half", 7), ("die Hälfte", 7),
        ("1er pupitre", 2), ("1. Pult", 2), ("2 pup. div.", 4), ("3 desks", 6), ("tutti", 14),
        ("2 Soli", 2), ("unis.", 14), ("div.", 14), ("dolce", None), ("Soli", None),
    ],
)  # fmt: skip
def test_words_in_a_string_section(text: str, players: float | None) -> None:
    """Solo, desks of two and halves are taken from a section of fourteen."""
    assert read_label(text, SECTION) == players


def test_a_chord_on_a_shared_stave_is_divided() -> None:
    """Two players on a chord of two notes play one each."""
    assert _players("Flutes 1. 2", "[C5 E5]/1 |") == [1.0, 1.0]


def test_two_voices_on_a_shared_stave_are_divided() -> None:
    """Stems up and down: one player each; a printed rest is the other player's."""
    assert _players("Flutes 1. 2", "E5/1 & C5/1 |") == [1.0, 1.0]
    assert _players("Flutes 1. 2", "E5/1 & R |") == [1.0]
    assert not _asked("Flutes 1. 2", "E5/1 & R |")


def test_labels_give_a_single_line_to_one_or_all() -> None:
    """“a 2” gives both, “1.” gives one, until the next word."""
    bars = '"a 2" C5/1 | D5 | "1." E5 | F5 | "a 2" G5 |'
    assert _players("Flutes 1. 2", bars) == [2.0, 2.0, 1.0, 1.0, 2.0]
    assert not _asked("Flutes 1. 2", bars)


def test_an_unlabelled_single_line_is_one_player_and_a_question() -> None:
    """Without any word one player is assumed, and the page is said to leave it open."""
    assert _players("Oboes 1. 2", "C5/1 | D5 |") == [1.0, 1.0]
    assert _asked("Oboes 1. 2", "C5/1 |")
    assert not _asked("Oboe 1", "C5/1 |")


def test_a_label_is_doubtful_after_a_passage_in_parts() -> None:
    """After chords an old “a 2” is taken to hold, but it is asked about."""
    bars = '"a 2" C5/1 | [C5 E5] | D5 |'
    assert _players("Flutes 1. 2", bars) == [2.0, 1.0, 1.0, 2.0]
    assert _asked("Flutes 1. 2", bars)
    assert not _asked("Flutes 1. 2", '"a 2" C5/1 | [C5 E5] | "a 2" D5 |')


def test_a_level_beside_the_label_does_not_hide_it() -> None:
    """“pp” and “I.” at one place are both read."""
    assert _players("Bassoons 1. 2", 'pp "I." C3/1 | "a 2" "dolce" D3 |') == [1.0, 2.0]


def test_a_section_divides_evenly() -> None:
    """Chords and voices share fourteen first violins."""
    assert _players("Violin 1", "C5/1 | [C5 E5] | E5 & C5 |") == [14.0, 7.0, 7.0, 7.0, 7.0]


def test_solo_in_a_section_lasts_until_tutti() -> None:
    """One player from “solo”, the section again from “tutti”."""
    assert _players("Violin 1", 'C5/1 | "solo" D5 | E5 | "tutti" F5 |') == [14.0, 1.0, 1.0, 14.0]


def test_staves_of_one_section_share_it_while_they_play() -> None:
    """Two staves of first violins have seven players each, one alone has all fourteen."""
    page = (
        "part Violini I.\nC5/1 | C5 | R*4 | C5 |\n"
        "part Violini I. div. in 2 P.\nR | E5/1 | R*4 | R |\n"
    )
    assert [tone.players for tone in tones_of(told(page), "P1")] == [14.0, 7.0, 14.0]
    assert [tone.players for tone in tones_of(told(page), "P2")] == [7.0]


def test_a_division_outlasts_a_short_rest() -> None:
    """A divided stave that rests for a bar between notes keeps its players."""
    page = "part Viola\nC4/1 | C4 | C4 |\npart Viola div.\nE4/1 | R | E4 |\n"
    assert [tone.players for tone in tones_of(told(page), "P1")] == [5.0, 5.0, 5.0]


def test_section_strength_comes_from_the_forces() -> None:
    """The default forces stand at 14.12.10.8.6."""
    names = ["Violin 1", "Violin 2", "Viola", "Violoncello", "Contrabass"]
    playing = told("\n".join(f"part {name}\nC4/1 |" for name in names) + "\n")
    assert [tone.players for tone in sorted(playing.tones)] == [14.0, 12.0, 10.0, 8.0, 6.0]
    assert Forces().name == "14.12.10.8.6"


def test_one_player_of_many_notes_is_one_player() -> None:
    """A harp's chord is played by one harpist, each note whole."""
    assert _players("Harp", "[C4 E4 G4 C5]/1 |") == [1.0] * 4
