"""How string sections divide. Common practice as in the reference texts on notation, no one source.

“div.” and “unis.” are always to be said, “unis.” cancels “div.”, “tutti” only after “solo” or desks
(reference reading1); the default division is by side of the desk, in equal parts.
"""

import pytest

from redstave.model.line import Forces, Playing
from redstave.players import play
from tests.players.pages import page, told

SECTION = "Violin 1"


def _who(bars: str, part: str = SECTION) -> list[tuple[int, float, str, float]]:
    """Return bar, sounding pitch, line and players of every tone."""
    playing = told(f"part {part}\n{bars}\n")
    return sorted(
        (t.bar, t.midi, playing.lines[t.line].id.removeprefix("P1"), t.players)
        for t in playing.tones
    )


def _asked(playing: Playing) -> dict[str, str]:
    return {question.code: question.text for question in playing.open_questions}


def test_a_divided_chord_is_halves_of_the_section() -> None:
    """Under “div.” the upper note is the upper half's, the lower the lower half's."""
    assert _who('"div." [C5 E5]/1 |') == [(0, 72.0, ".b", 7.0), (0, 76.0, ".a", 7.0)]


def test_halves_are_lines_of_their_own() -> None:
    """Their names and players say what they are, and whose players they have."""
    playing = told('part Violin I\nC5/1 | "div." [C5 E5] | "unis." D5 |\n')
    assert [(line.id, line.name, line.players, line.of) for line in playing.lines] == [
        ("P1", "Violin I", 14, ""),
        ("P1.a", "Violin I (upper half)", 7, "P1"),
        ("P1.b", "Violin I (lower half)", 7, "P1"),
    ]


def test_a_page_that_does_not_divide_has_no_lines_for_parts() -> None:
    """A word alone, with nothing to divide, makes no lines that never play."""
    playing = told('part Violin I\n"div." C5/1 | "unis." D5 |\n')
    assert [line.id for line in playing.lines] == ["P1"]


@pytest.mark.parametrize("end", ["unis.", "non div.", "tutti", "unisono", "alle", "tous"])
def test_a_division_lasts_until_it_is_cancelled(end: str) -> None:
    """Over rests and single lines, until one of the words that end it."""
    bars = f'"div." [C5 E5]/1 | R | [D5 F5] | C5 | "{end}" [C5 E5] |'
    found = _who(bars)
    assert [line for bar, _, line, _ in found if bar == 2] == [".b", ".a"]
    assert [(line, players) for bar, _, line, players in found if bar == 3] == [("", 14.0)]
    assert {line for bar, _, line, _ in found if bar == 4} == {""}


@pytest.mark.parametrize("word", ["div.", "divisi", "geteilt", "divisés", "get.", "div. a 2"])
def test_words_for_dividing(word: str) -> None:
    """In four languages."""
    assert [line for *_, line, _ in _who(f'"{word}" [C5 E5]/1 |')] == [".b", ".a"]


@pytest.mark.parametrize("word", ["div. a 3", "div. in 3", "geteilt in 3", "divisés en 3"])
def test_a_division_in_three_over_two_notes(word: str) -> None:
    """Of three parts two share the lower note; each has a third of the section."""
    found = _who(f'"{word}" [C5 E5]/1 |', "Viola")
    assert [(midi, line) for _, midi, line, _ in found] == [
        (72.0, ".b"), (72.0, ".c"), (76.0, ".a"),
    ]  # fmt: skip
    assert [players for *_, players in found] == [pytest.approx(10 / 3)] * 3


def test_div_a_4_over_four_notes() -> None:
    """Four parts from the top."""
    found = _who('"div. in 4" [C5 E5 G5 C6]/1 |')
    assert [(line, players) for *_, line, players in found] == [
        (".d", 3.5), (".c", 3.5), (".b", 3.5), (".a", 3.5),
    ]  # fmt: skip


def test_the_name_of_a_part_may_divide_it() -> None:
    """“Violas div.” needs no word on the page."""
    assert [line for *_, line, _ in _who("[C4 E4]/1 |", "Viole div.")] == [".b", ".a"]
    assert "double-notes-unlabelled" not in _asked(told("part Viole div.\n[C4 E4]/1 |\n"))


def test_two_voices_divide_without_a_word() -> None:
    """Two voices cannot be read by one player: halves, also where one of them rests."""
    assert _who("E5/1 & C5/1 |") == [(0, 72.0, ".b", 7.0), (0, 76.0, ".a", 7.0)]
    assert _who("E5/1 & R |") == [(0, 76.0, ".a", 7.0)]


def test_a_chord_without_a_word_is_open_with_both_readings() -> None:
    """Divided or double stops: nobody is told; the place is asked about, equal shares assumed."""
    assert _who("[C5 E5]/1 |") == [(0, 72.0, "", 7.0), (0, 76.0, "", 7.0)]
    playing = told(f"part {SECTION}\nC5/1 | [C5 E5] | [D5 F5] |\n")
    question = next(q for q in playing.open_questions if q.code == "double-notes-unlabelled")
    assert (question.bar, question.part) == (1, "P1")
    assert "bars 2, 3:" in question.text
    assert "divided or double stops" in question.text
    assert "equal share" in question.text


@pytest.mark.parametrize("word", ["non div.", "nicht geteilt", "non divisés", "double stops"])
def test_undivided_chords_are_everyones_and_nothing_is_asked(word: str) -> None:
    """Double stops by word: the whole section has both notes, each with part of its bow."""
    bars = f'"{word}" [C5 E5]/1 |'
    assert _who(bars) == [(0, 72.0, "", 7.0), (0, 76.0, "", 7.0)]
    assert "double-notes-unlabelled" not in _asked(told(f"part {SECTION}\n{bars}\n"))


def test_a_section_plays_a_single_line_together() -> None:
    """Fourteen first violins are one line, and a solo string part is one player."""
    assert _who("C5/1 |") == [(0, 72.0, "", 14.0)]
    assert _who("[G3 D4]/1 |", "Solo Violin") == [(0, 55.0, "", 1.0), (0, 62.0, "", 1.0)]


@pytest.mark.parametrize(
    ("word", "line", "players"),
    [
        ("solo", "solo", 1), ("1 solo", "solo", 1), ("Solo.", "solo", 1), ("seul", "solo", 1),
        ("2 Soli", "solo", 2), ("1 desk", "desks", 2), ("1. Pult", "desks", 2),
        ("1er pupitre", "desks", 2), ("1. und 2. Pult", "desks", 4), ("3 desks", "desks", 6),
        ("2 Pulte", "desks", 4), ("half", "half", 7), ("la metà", "half", 7),
        ("die Hälfte", "half", 7), ("la moitié", "half", 7),
    ],
)  # fmt: skip
def test_a_portion_plays_until_tutti(word: str, line: str, players: float) -> None:
    """Solo, desks of two and halves have a line of their own, the section plays on at “tutti”."""
    bars = f'C5/1 | "{word}" D5 | R | E5 | "tutti" F5 |'
    assert _who(bars) == [
        (0, 72.0, "", 14.0), (1, 74.0, f".{line}", players),
        (3, 76.0, f".{line}", players), (4, 77.0, "", 14.0),
    ]  # fmt: skip


@pytest.mark.parametrize("word", ["2 Soli", "due soli", "Zwei Soli", "1. 2. Soli"])
def test_two_soli_have_a_note_each(word: str) -> None:
    """Two soloists are two lines where two notes stand, in voices or in a chord; else one."""
    bars = f'C5/1 | "{word}" E5/1 & C5/1 | [D5 F5]/1 | G5/1 | "tutti" F5 |'
    assert _who(bars) == [
        (0, 72.0, "", 14.0),
        (1, 72.0, ".solo.b", 1.0), (1, 76.0, ".solo.a", 1.0),
        (2, 74.0, ".solo.b", 1.0), (2, 77.0, ".solo.a", 1.0),
        (3, 79.0, ".solo", 2.0), (4, 77.0, "", 14.0),
    ]  # fmt: skip


def test_two_soli_beside_the_others() -> None:
    """The soloists have the upper two of three voices, the lower two where their word is below."""
    above = '"2 Soli" G5/1 & E5/1 & _"gli altri" C5/1 |'
    assert _who(above) == [
        (0, 72.0, ".others", 12.0), (0, 76.0, ".solo.b", 1.0), (0, 79.0, ".solo.a", 1.0),
    ]  # fmt: skip
    below = '"gli altri" G5/1 & E5/1 & _"2 Soli" C5/1 |'
    assert _who(below) == [
        (0, 72.0, ".solo.b", 1.0), (0, 76.0, ".solo.a", 1.0), (0, 79.0, ".others", 12.0),
    ]  # fmt: skip


def test_each_soloist_has_a_name() -> None:
    """The lines of two soloists are called by their number, and the section has no tone."""
    playing = told(f'part {SECTION}\n"2 Soli" C5/1 & A4/1 |\n')
    assert {playing.lines[tone.line].name for tone in playing.tones} == {
        f"{SECTION} (solo 1)", f"{SECTION} (solo 2)",
    }  # fmt: skip


@pytest.mark.parametrize("others", ["gli altri", "le altre", "die übrigen", "les autres", "others"])
def test_a_solo_beside_the_others(others: str) -> None:
    """Of two voices the upper is the soloist's, the lower all the others'."""
    bars = f'"solo" E5/1 & _"{others}" C5/1 |'
    assert _who(bars) == [(0, 72.0, ".others", 13.0), (0, 76.0, ".solo", 1.0)]


def test_a_solo_below_the_others() -> None:
    """Where the word solo stands below, the lower voice is the soloist's."""
    bars = '"gli altri" E5/1 & _"solo" C5/1 |'
    assert _who(bars) == [(0, 72.0, ".solo", 1.0), (0, 76.0, ".others", 13.0)]


def test_half_and_the_others() -> None:
    """Half the section plays one voice, the other half the other."""
    bars = '"metà" E5/1 & _"gli altri" C5/1 |'
    assert _who(bars) == [(0, 72.0, ".others", 7.0), (0, 76.0, ".half", 7.0)]


def test_the_others_alone() -> None:
    """While a soloist has a stave of his own, “gli altri” are the section without him."""
    assert _who('"gli altri" C5/1 | "tutti" D5 |') == [
        (0, 72.0, ".others", 13.0), (1, 74.0, "", 14.0),
    ]  # fmt: skip


def test_a_tie_from_the_whole_into_a_half_goes_on_without_an_attack() -> None:
    """Fourteen hold a note of which only half go on: two stretches, the second continued."""
    playing = told('part Violin 1\nC5/1~ | "div." [C5 E5] |\n')
    found = [
        (playing.lines[t.line].id, t.players, t.continued) for t in playing.tones if t.midi == 72
    ]
    assert found == [("P1", 14.0, False), ("P1.b", 7.0, True)]


def test_staves_of_one_section_share_it_while_they_play() -> None:
    """Two staves of first violins have seven players each, one alone has all fourteen."""
    text = (
        "part Violini I.\nC5/1 | C5 | R*4 | C5 |\n"
        "part Violini I. div. in 2 P.\nR | E5/1 | R*4 | R |\n"
    )
    playing = told(text)
    players = {"P1": [], "P2": []}  # type: dict[str, list[float]]
    for tone in playing.tones:
        players[playing.lines[tone.line].id].append(tone.players)
    assert players == {"P1": [14.0, 7.0, 14.0], "P2": [7.0]}


def test_a_division_over_several_staves_is_one_part_a_stave() -> None:
    """“div. in 4” on two staves of two voices: each voice has a quarter of the section."""
    name = "Violini I div. in 4"
    playing = told(f"part {name}\nG5/1 & E5/1 |\npart {name}\nC5/1 & A4/1 |\n")
    assert [tone.players for tone in playing.tones] == [3.5] * 4


def test_a_division_outlasts_a_short_rest() -> None:
    """A divided stave that rests for a bar between notes keeps its players."""
    playing = told("part Viola\nC4/1 | C4 | C4 |\npart Viola div.\nE4/1 | R | E4 |\n")
    assert [t.players for t in playing.tones if t.line == 0] == [5.0, 5.0, 5.0]


def test_section_strength_comes_from_the_forces() -> None:
    """Smaller forces make smaller halves, and never less than one player."""
    score = page('part Viola\n"div." [C4 E4]/1 |\n')
    small = play(score, Forces("8.6.4.3.2", 8, 6, 4, 3, 2))
    assert [tone.players for tone in small.tones] == [2.0, 2.0]
    one = play(score, Forces("1.1.1.1.1", 1, 1, 1, 1, 1))
    assert [tone.players for tone in one.tones] == [1.0, 1.0]


@pytest.mark.parametrize(
    ("word", "players"),
    [
        ("deux pupitres", [2.0, 2.0]),
        ("zwei Pulte", [2.0, 2.0]),
        ("2 players", [1.0, 1.0]),
        ("4 Spieler", [1.0, 1.0, 1.0, 1.0]),
        ("dreifach geteilt", [10 / 3] * 3),
        ("div. in tre", [10 / 3] * 3),
        ("half", [2.5, 2.5]),
        ("half pizz.", [5.0, 5.0]),
    ],
)
def test_numbers_in_letters_and_players_by_their_count(word: str, players: list[float]) -> None:
    """Desks, soloists and parts are counted in letters too; “half pizz.” silences nobody."""
    playing = told(f'part Viola\np "{word}" [C4 E4]/1 |')
    assert [tone.players for tone in playing.tones] == pytest.approx(players)
