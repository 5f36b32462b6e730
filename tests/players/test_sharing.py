"""Who of several wind players on one stave plays which note.

Common practice as the reference texts on notation state it: "a 2" is a unison of both, "1." a
single player, two voices or a chord are one player each from the top.
"""

from dataclasses import replace

import pytest

from redstave.model.line import Forces, Playing
from redstave.players import play
from redstave.players.labels import read_label
from redstave.players.numbering import player_numbers
from redstave.reading import read_bytes
from tests.players.pages import told

PAIR = (1, 2)
LOW_HORNS = (3, 4)


def _who(part: str, bars: str) -> list[tuple[int, float, str]]:
    """Return bar, sounding pitch and line of every tone, as the ends of the lines' ids."""
    playing = told(f"part {part}\n{bars}\n")
    return sorted(
        (tone.bar, tone.midi, playing.lines[tone.line].id.removeprefix("P1").removeprefix("."))
        for tone in playing.tones
    )


def _asked(playing: Playing) -> dict[str, str]:
    return {question.code: question.text for question in playing.open_questions}


@pytest.mark.parametrize(
    ("text", "numbers"),
    [
        ("1.", (1,)), ("I.", (1,)), ("I", (1,)), ("1º", (1,)), ("1°", (1,)), ("2do", (2,)),
        ("2. solo", (2,)), ("1 solo", (1,)), ("I. Solo.", (1,)), ("1. Solo", (1,)),
        ("1., 2.", (1, 2)), ("I. II.", (1, 2)), ("1. & 2.", (1, 2)), ("1. e 2.", (1, 2)),
        ("1-2", (1, 2)), ("1er", (1,)), ("2e", (2,)), ("1st", (1,)), ("1. espr.", (1,)),
        ("1", ()), ("2", ()), ("6.", ()), ("12.", ()), ("3.", ()), ("Il canto", ()),
        ("In tempo", ()), ("I. Tempo", ()), ("I° tempo", ()), ("1. volta", ()), ("2. mal", ()),
        ("II. corda", ()), ("1. Pult", ()), ("(2.)", (2,)), ("[II.]", (2,)), ("2 only", (2,)),
        ("secondo", (2,)), ("Secondo solo", (2,)), ("Zweiter", (2,)), ("player 2", (2,)),
        ("terzo", ()), ("come prima", ()), ("prima volta", ()), ("player", ()), ("(2)", ()),
    ],
)  # fmt: skip
def test_numbers_of_players(text: str, numbers: tuple[int, ...]) -> None:
    """Stopped, ordinal and Roman numbers name players; bare figures, tempos, strings do not."""
    assert player_numbers(text, PAIR) == numbers


def test_numbers_belong_to_the_stave() -> None:
    """“3.” names a player on the stave of horns 3 and 4, “1.” does not; a range is filled."""
    assert player_numbers("3.", LOW_HORNS) == (3,)
    assert player_numbers("1.", LOW_HORNS) == ()
    assert player_numbers("1.–3.", (1, 2, 3, 4)) == (1, 2, 3)


@pytest.mark.parametrize(
    "text",
    [
        "a 2",
        "a2",
        "à 2",
        "a due",
        "zu 2",
        "à deux",
        "unis.",
        "a. 2",
        "Tutti",
        "Soli",
        "both",
        "beide",
    ],
)
def test_words_for_all_players(text: str) -> None:
    """“a 2” and its relatives give a single line to both players."""
    assert read_label(text, PAIR) == ((0, 1), True)


def test_a_2_on_a_stave_of_four_does_not_say_which() -> None:
    """On a stave of four horns “a 4” is everyone; “a 2” counts and does not name."""
    assert read_label("a 4", (1, 2, 3, 4)) == ((0, 1, 2, 3), True)
    assert read_label("a 2", (1, 2, 3, 4)) == ((0, 1), False)
    assert read_label("3. 4. a 2", (1, 2, 3, 4)) == ((2, 3), True)


@pytest.mark.parametrize(
    ("bars", "places"),
    [
        ('C5/1 | "a 2" E5/1 & C5/1 |', "bar 2:"),  # two differing voices
        ('"a 2" [C5 E5]/1 | "a 2" [D5 F5] |', "bars 1, 2:"),  # a chord
        ('"a 2" E5/1 & R |', "bar 1:"),  # one of them rests
        ('"1." [C5 E5]/1 |', "bar 1:"),  # one player, two notes
        ('"1." R & C5/1 |', "bar 1:"),  # the first is named and the second plays
    ],
)
def test_a_label_that_its_notes_contradict_is_asked_about(bars: str, places: str) -> None:
    """The question names the bars."""
    asked = _asked(told(f"part Flutes 1. 2\n{bars}\n"))
    assert places in asked["label-contradicted"]


@pytest.mark.parametrize(
    "bars",
    [
        '"a 2" C5/1 & C5/1 |',  # a unison in two voices
        '"a 2" C5/1 | E5/1 & C5/1 |',  # they part later
        '"1. 2." E5/1 & C5/1 |',  # both are named, and each has a note
        '"1." E5/1 & R |',
        '"1." E5/1 & _"2." C5/1 |',
        '"Solo" R & C5/1 |',  # a solo of whoever plays
        '"1." E5/2 E5 & C5/1 |',  # beside the upper voice
    ],
)
def test_a_label_that_fits_is_not_asked_about(bars: str) -> None:
    """Unisons, labels beside a voice and unnumbered solos contradict nothing."""
    assert "label-contradicted" not in _asked(told(f"part Flutes 1. 2\n{bars}\n"))


def test_notes_under_a_contradicting_label_are_dealt_out_as_they_stand() -> None:
    """“a 2” over two notes gives one to each player all the same."""
    assert _who("Flutes 1. 2", '"a 2" [C5 E5]/1 |') == [(0, 72.0, "2"), (0, 76.0, "1")]


def test_each_player_has_a_line() -> None:
    """The stave of two horns has two lines with numbers, names and ids of their own."""
    playing = told("part Horns in F 3. 4 | transpose=-7\n[C5 E5]/1 |\n")
    assert [(line.id, line.name, line.numbers, line.players) for line in playing.lines] == [
        ("P1.3", "Horn in F 3", (3,), 1), ("P1.4", "Horn in F 4", (4,), 1),
    ]  # fmt: skip


def test_a_chord_is_divided_from_the_top() -> None:
    """Two players on a chord of two notes play one each, the first the upper one."""
    assert _who("Flutes 1. 2", "[C5 E5]/1 |") == [(0, 72.0, "2"), (0, 76.0, "1")]


def test_two_voices_are_two_players_even_when_they_cross() -> None:
    """Stems up are the first player's, also where he goes below the second."""
    assert _who("Flutes 1. 2", "E5/1 & C5/1 |") == [(0, 72.0, "2"), (0, 76.0, "1")]
    assert _who("Flutes 1. 2", "C5/1 & E5/1 |") == [(0, 72.0, "1"), (0, 76.0, "2")]
    assert _who("Flutes 1. 2", "C5/1 & C5/1 |") == [(0, 72.0, "1"), (0, 72.0, "2")]


def test_a_rest_in_one_voice_is_the_other_players() -> None:
    """A printed rest says who is silent: nothing is asked."""
    for bars, player in (("E5/1 & R |", "1"), ("R & E5/1 |", "2")):
        assert _who("Flutes 1. 2", bars) == [(0, 76.0, player)]
        assert "single-line-unlabelled" not in _asked(told(f"part Flutes 1. 2\n{bars}\n"))


def test_labels_hold_until_the_next() -> None:
    """“a 2” gives both, “1.” one, “2.” the other, each over rests until the next word."""
    bars = '"a 2" C5/1 | D5 | "1." E5 | R | F5 | "2." G5 | "a 2" A5 |'
    assert _who("Flutes 1. 2", bars) == [
        (0, 72.0, "1"), (0, 72.0, "2"), (1, 74.0, "1"), (1, 74.0, "2"), (2, 76.0, "1"),
        (4, 77.0, "1"), (5, 79.0, "2"), (6, 81.0, "1"), (6, 81.0, "2"),
    ]  # fmt: skip
    assert "single-line-unlabelled" not in _asked(told(f"part Flutes 1. 2\n{bars}\n"))


def test_two_labels_at_one_place_are_both_players() -> None:
    """“1.” and “2.” printed together over a single line name both."""
    assert _who("Oboes 1. 2", '"1." "2." C5/1 |') == [(0, 72.0, "1"), (0, 72.0, "2")]


def test_solo_without_a_number_is_the_first_player() -> None:
    """“Solo” on a shared stave is the first player's (common practice, no source)."""
    assert _who("Oboes 1. 2", '"Solo" C5/1 |') == [(0, 72.0, "1")]


def test_an_unlabelled_single_line_is_one_player_and_a_question_with_its_bars() -> None:
    """Without any word the first player is assumed, and the page is said to leave it open."""
    assert _who("Oboes 1. 2", "C5/1 | D5 |") == [(0, 72.0, "1"), (1, 74.0, "1")]
    playing = told("part Oboes 1. 2\nC5/1 | D5 | [C5 E5] | E5 |\n")
    question = next(q for q in playing.open_questions if q.code == "single-line-unlabelled")
    assert (question.bar, question.part) == (0, "P1")
    assert "bars 1, 2, 4:" in question.text
    assert "one is assumed" in question.text
    assert "single-line-unlabelled" not in _asked(told("part Oboe 1\nC5/1 |\n"))


def test_a_2_is_lost_when_the_parts_diverge() -> None:
    """After a chord an old “a 2” no longer holds: one player, and a question for that bar."""
    bars = '"a 2" C5/1 | [C5 E5] | D5 |'
    assert _who("Flutes 1. 2", bars)[-1:] == [(2, 74.0, "1")]
    assert "bar 3:" in _asked(told(f"part Flutes 1. 2\n{bars}\n"))["single-line-unlabelled"]
    again = '"a 2" C5/1 | [C5 E5] | "a 2" D5 |'
    assert _who("Flutes 1. 2", again)[-2:] == [(2, 74.0, "1"), (2, 74.0, "2")]


def test_a_2_is_lost_when_one_player_rests() -> None:
    """A printed rest in the other voice parts the players as well."""
    bars = '"a 2" C5/1 | D5/1 & R | E5 |'
    assert _who("Flutes 1. 2", bars)[-1] == (2, 76.0, "1")
    assert "single-line-unlabelled" in _asked(told(f"part Flutes 1. 2\n{bars}\n"))


def test_a_number_outlasts_the_others_rests_but_not_their_notes() -> None:
    """“2.” holds while the other voice only rests; after a chord it is doubtful, and kept."""
    bars = '"2." C5/1 | R & D5/1 | E5 |'
    assert "single-line-unlabelled" not in _asked(told(f"part Flutes 1. 2\n{bars}\n"))
    bars = '"2." C5/1 | [C5 E5] | E5 |'
    assert _who("Flutes 1. 2", bars)[-1] == (2, 76.0, "2")
    assert "single-line-unlabelled" in _asked(told(f"part Flutes 1. 2\n{bars}\n"))


def test_four_horns_on_one_stave_interlock() -> None:
    """A chord of four is 1, 3, 2, 4 from the top (reference texts on horns)."""
    assert _who("Horns 1.-4.", "[C4 E4 G4 C5]/1 |") == [
        (0, 60.0, "4"), (0, 64.0, "2"), (0, 67.0, "3"), (0, 72.0, "1"),
    ]  # fmt: skip


def test_four_players_share_two_notes_when_told_to() -> None:
    """“a 4” over chords of two gives each note to two; without a word it is asked."""
    told_ = _who("4 Trumpets", '"a 4" [C4 E4]/1 |')
    assert told_ == [(0, 60.0, "3"), (0, 60.0, "4"), (0, 64.0, "1"), (0, 64.0, "2")]
    assert "chord-unlabelled" in _asked(told("part 4 Trumpets\n[C4 E4]/1 |\n"))


def test_labels_above_and_below_tell_three_players_apart() -> None:
    """Of two voices the upper is read with the words above, the lower with those below."""
    bars = '"1. 2." E5/1 & _"3." C5/1 |'
    assert _who("3 Flutes", bars) == [(0, 72.0, "3"), (0, 76.0, "1"), (0, 76.0, "2")]
    assert "chord-unlabelled" not in _asked(told(f"part 3 Flutes\n{bars}\n"))


def test_more_notes_than_players_is_asked_and_nothing_is_lost() -> None:
    """Three notes for two oboes: the last player is given the rest, and the page is doubted."""
    assert _who("2 Oboes", "[C5 E5 G5]/1 |") == [(0, 72.0, "2"), (0, 76.0, "2"), (0, 79.0, "1")]
    assert "more-notes-than-players" in _asked(told("part 2 Oboes\n[C5 E5 G5]/1 |\n"))


def test_chords_count_the_players_of_a_part_without_a_number() -> None:
    """“Horn in F” with chords of two is a stave of two horns, and this is said."""
    playing = told("part Horn in F | transpose=-7\nC5/1 | [C5 E5] |\n")
    assert [line.id for line in playing.lines] == ["P1.1", "P1.2"]
    assert "2 assumed" in _asked(playing)["players-not-counted"]


def test_a_tied_note_stays_with_its_player() -> None:
    """Both players begin a 2; the one who keeps the tied note holds it, the other goes on."""
    bars = '"a 2" C5/1~ | C5/1 & A4/1 |'
    playing = told(f"part Flutes 1. 2\n{bars}\n")
    found = sorted((playing.lines[t.line].id, t.midi, t.stop_s - t.start_s) for t in playing.tones)
    assert found == [("P1.1", 72.0, 8.0), ("P1.2", 69.0, 4.0), ("P1.2", 72.0, 4.0)]


def test_a_note_tied_out_of_a_chord_needs_no_label() -> None:
    """The lower of two notes tied on alone is still the second player's, without a question."""
    playing = told("part Flutes 1. 2\n[C5~ E5]/1 | C5 |\n")
    assert {(playing.lines[t.line].id, len(t.notes)) for t in playing.tones} == {
        ("P1.1", 1), ("P1.2", 2),
    }  # fmt: skip
    assert "single-line-unlabelled" not in _asked(playing)


def test_a_tie_tells_who_an_unlabelled_note_belongs_to() -> None:
    """A single note tied into the lower of two was the second player's from the start."""
    assert _who("Flutes 1. 2", "C5/1~ | [C5 E5] |") == [(0, 72.0, "2"), (1, 76.0, "1")]


STEMS = """<score-partwise version="4.0"><part-list><score-part id="P1">
<part-name>2 Oboes</part-name></score-part></part-list><part id="P1"><measure number="1">
<attributes><divisions>1</divisions><time><beats>2</beats><beat-type>4</beat-type></time>
<clef><sign>G</sign><line>2</line></clef></attributes>
<note><pitch><step>{step}</step><octave>{octave}</octave></pitch><duration>2</duration>
<voice>1</voice><type>half</type><stem>{stem}</stem></note></measure></part></score-partwise>"""


@pytest.mark.parametrize(
    ("step", "octave", "stem", "line", "asked"),
    [
        ("E", 5, "up", "P1.1", False), ("E", 5, "down", "P1.1", True),
        ("E", 4, "down", "P1.2", False), ("E", 4, "up", "P1.1", True),
    ],
)  # fmt: skip
def test_stems_against_the_custom_tell_the_player(
    step: str, octave: int, stem: str, line: str, asked: bool
) -> None:
    """A high note with its stem up is the first player's, a low one with it down the second's."""
    text = STEMS.format(step=step, octave=octave, stem=stem)
    playing = play(read_bytes(text.encode(), "stems.musicxml"), Forces())
    assert [playing.lines[tone.line].id for tone in playing.tones] == [line]
    assert ("single-line-unlabelled" in _asked(playing)) == asked


def test_graces_belong_to_the_player_of_their_note() -> None:
    """A grace before a chord is the first player's, before a labelled line that player's."""
    assert _who("Flutes 1. 2", "^D5 [C5 E5]/1 |")[1] == (0, 74.0, "1")
    assert _who("Flutes 1. 2", '"2." ^D5 C5/1 |')[1] == (0, 74.0, "2")


def test_one_player_of_many_notes_is_one_player() -> None:
    """A harp's chord is played by one harpist, each note whole, on one line of two staves."""
    playing = told("part Harp | staves=2\n[C4 E4 G4 C5]/1 // C3/1 |\n")
    assert [line.id for line in playing.lines] == ["P1"]
    assert [tone.players for tone in playing.tones] == [1.0] * 5


def test_a_note_without_length_does_not_stop_the_sharing() -> None:
    """Converted files have notes of no length; over two that sound on, all three are played."""
    text = "part Piano\nC5/1 & E4/1 & r/4 G4/64 r r/32 r/16 r/8 r/2 |.\n"
    score = read_bytes(text.encode(), "three.tiny")
    part = score.parts[0]
    notes = tuple(note._replace(duration=0) if note.step == "G" else note for note in part.notes)
    empty = replace(score, parts=(replace(part, notes=notes),))
    assert sorted(tone.midi for tone in play(empty, Forces()).tones) == [64, 67, 72]
