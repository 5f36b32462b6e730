"""Parts of more than one instrument: changes, shared staves, declared percussion."""

import pytest

from redstave.instruments import load
from redstave.model.line import Forces, Playing
from redstave.players import play
from redstave.reading import read_bytes
from tests.players.pages import page, told


def _by_instrument(playing: Playing) -> list[tuple[str, int, float]]:
    """Return instrument, bar index and players of every tone."""
    return [(playing.lines[tone.line].instrument, tone.bar, tone.players) for tone in playing.tones]


@pytest.mark.parametrize("word", ["Piccolo.", "muta in Piccolo", "Picc.", "Kl. Fl.", "(Picc.)"])
def test_a_word_changes_the_instrument(word: str) -> None:
    """From the word on the flautist plays the piccolo, and the flute again from “Gr. Fl.”."""
    bars = f'C5/1 | "{word}" D5 | E5 | "Gr. Fl." F5 |'
    playing = told(f"part Flauto III.(poi Piccolo)\n{bars}\n")
    assert [line.id for line in playing.lines] == ["P1", "P1.piccolo"]
    assert _by_instrument(playing) == [
        ("flute", 0, 1.0), ("piccolo", 1, 1.0), ("piccolo", 2, 1.0), ("flute", 3, 1.0),
    ]  # fmt: skip


def test_other_words_change_nothing() -> None:
    """A word of expression, and the name of an instrument the part has not, are no change."""
    playing = told('part Flute 2/Piccolo\n"dolce" C5/1 | "Oboe" D5 |\n')
    assert {name for name, _, _ in _by_instrument(playing)} == {"flute"}


def test_a_stave_of_trombone_and_tuba() -> None:
    """Of two notes the lower is the tuba's; a single line is both players'; a word names one."""
    bars = '[C3 C2]/1 | C3 & C2 | C3/1 | "Tuba" D2 | "a 2" E2 |'
    playing = told(f"part Trombone basso e Tuba\n{bars}\n")
    assert [line.id for line in playing.lines] == ["P1", "P1.tuba"]
    assert sorted(_by_instrument(playing), key=lambda one: (one[1], one[0])) == [
        ("bass-trombone", 0, 1.0), ("tuba", 0, 1.0),
        ("bass-trombone", 1, 1.0), ("tuba", 1, 1.0),
        ("bass-trombone", 2, 1.0), ("tuba", 2, 1.0),
        ("tuba", 3, 1.0),
        ("bass-trombone", 4, 1.0), ("tuba", 4, 1.0),
    ]  # fmt: skip
    low = {tone.midi: playing.lines[tone.line].instrument for tone in playing.tones if not tone.bar}
    assert low == {48.0: "bass-trombone", 36.0: "tuba"}


def test_cellos_and_basses_on_one_stave() -> None:
    """“Vc. e Cb.” on one line: both sections play it; in two voices each has its own."""
    playing = told("part Vc. e Cb.\nC3/1 | C3/1 & C2/1 |\n")
    assert [(line.instrument, line.players) for line in playing.lines] == [
        ("cello", 8), ("double-bass", 6),
    ]  # fmt: skip
    assert sorted(_by_instrument(playing), key=lambda one: (one[1], one[0])) == [
        ("cello", 0, 8.0), ("double-bass", 0, 6.0), ("cello", 1, 8.0), ("double-bass", 1, 6.0),
    ]  # fmt: skip


KIT = """<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>{name}</part-name>
<score-instrument id="I1"><instrument-name>Bass Drum</instrument-name></score-instrument>
<score-instrument id="I2"><instrument-name>Triangle</instrument-name></score-instrument>
</score-part></part-list><part id="P1"><measure number="1"><attributes><divisions>1</divisions>
<time><beats>2</beats><beat-type>4</beat-type></time></attributes>
<note><unpitched/><duration>1</duration><instrument id="I1"/></note>
<note><unpitched/><duration>1</duration><instrument id="I2"/></note></measure></part>
</score-partwise>"""


@pytest.mark.parametrize("name", ["Percussion", "Triangle"])
def test_declared_percussion_has_a_line_for_each_instrument(name: str) -> None:
    """Where notes say which declared instrument is struck, each has its line."""
    playing = play(read_bytes(KIT.format(name=name).encode(), "kit.musicxml"), Forces())
    struck = [playing.lines[tone.line].instrument for tone in playing.tones]
    assert struck == ["bass-drum", "triangle"]
    assert {line.family for line in playing.lines} == {"percussion"}


@pytest.mark.parametrize("name", ["Percussion", "Schlagzeug", "Perc. 1", "Batterie"])
def test_words_name_the_instruments_of_a_percussion_part(name: str) -> None:
    """“Triangle” and “Tam-tam” over the notes are two instruments of one player."""
    bars = '"Triangle" C5/1 | R | "Tam-tam" C5 | C5 | "Trgl." C5 |'
    playing = told(f"part {name} | clef=percussion\n{bars}\n")
    assert [instrument for instrument, _, _ in _by_instrument(playing)] == [
        "triangle", "tam-tam", "tam-tam", "triangle",
    ]  # fmt: skip
    assert [(line.players, line.of, line.family) for line in playing.lines] == [
        (1, "", "percussion"), (1, "P1", "percussion"),
    ]  # fmt: skip
    assert not any(q.code == "instrument-unknown" for q in playing.open_questions)


def test_a_percussion_part_without_words_is_one_unknown_line() -> None:
    """Two notes at once on it are no second player, and nobody knows what is struck."""
    playing = told("part Percussion | clef=percussion\n[C5 E5]/1 | C5 |\n")
    assert [(line.id, line.instrument, line.family) for line in playing.lines] == [
        ("P1", "", "percussion")
    ]
    assert any(q.code == "instrument-unknown" for q in playing.open_questions)


def test_the_second_player_of_a_pair_changes_instrument() -> None:
    """Without a number the last player takes the piccolo; a number says whose it is."""
    bars = '[C5 E5]/1 | R | "{}" [C5 E5] | R | "Flutes" [C5 E5] |'
    for word, player in (("Picc.", 2), ("1. Piccolo", 1), ("2. muta in Picc.", 2)):
        playing = told(f"part Flutes 1. 2 (also Piccolo)\n{bars.format(word)}\n")
        ids = {line.id for line in playing.lines}
        assert ids == {"P1.1", "P1.2", f"P1.{player}.piccolo"}
        turned = next(line for line in playing.lines if line.instrument == "piccolo")
        assert (turned.of, turned.numbers) == (f"P1.{player}", (player,))
        bars_of = [bar for name, bar, _ in _by_instrument(playing) if name == "piccolo"]
        assert bars_of == [2]


def test_a_word_for_an_instrument_tells_who_has_a_single_line() -> None:
    """“Picc.” over a single line is the player's who takes it."""
    playing = told('part Flutes 1. 2 (also Piccolo)\n[C5 E5]/1 | "Picc." C5 |\n')
    assert [playing.lines[t.line].id for t in playing.tones if t.bar == 1] == ["P1.2.piccolo"]
    assert not any(q.code == "single-line-unlabelled" for q in playing.open_questions)


NUMBERED = """<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>Flutes 1. 2
</part-name><score-instrument id="I1"><instrument-name>Flute 1</instrument-name></score-instrument>
<score-instrument id="I2"><instrument-name>Flute 2</instrument-name></score-instrument>
</score-part></part-list><part id="P1"><measure number="1"><attributes><divisions>1</divisions>
<time><beats>2</beats><beat-type>4</beat-type></time></attributes>
<note><pitch><step>C</step><octave>5</octave></pitch><duration>1</duration>
<instrument id="I2"/></note>
<note><pitch><step>D</step><octave>5</octave></pitch><duration>1</duration>
<instrument id="I1"/></note></measure></part></score-partwise>"""


def test_instruments_numbered_in_the_file_are_players() -> None:
    """Where the file declares “Flute 1” and “Flute 2”, its notes say whose they are."""
    playing = play(read_bytes(NUMBERED.encode(), "numbered.musicxml"), Forces())
    assert [playing.lines[tone.line].id for tone in playing.tones] == ["P1.2", "P1.1"]
    assert not any(q.code == "single-line-unlabelled" for q in playing.open_questions)


def test_several_percussion_instruments_without_a_word_are_asked_about() -> None:
    """A name that lists them tells not which is struck; a word over the note does."""
    name = "Perc. 2 (Bass Drum, Cymbals)"
    silent = told(f"part {name}\nC4/4 C5 r/2 |\n").open_questions
    asked = [one.text for one in silent if one.code == "percussion-untold"]
    assert asked == [
        f"“{name}”: nothing tells which of bass drum, cymbals a note is for; bass drum assumed."
    ]
    worded = told(f'part {name}\n"B.D." C4/4 "Cymb." C5 r/2 |\n')
    assert not [one for one in worded.open_questions if one.code == "percussion-untold"]
    assert {line.instrument for line in worded.lines} == {"bass-drum", "cymbals"}


@pytest.mark.parametrize(
    ("name", "word", "instrument"),
    [
        ("Flute 2", "muta in Picc.", "piccolo"),
        ("Flute 2", "Picc.", "piccolo"),
        ("Flute 2", "Piccolo mf", "piccolo"),
        ("Flute 2", "take alto flute", "alto-flute"),
        ("Oboe 2", "Engl. Hr.", "cor-anglais"),
        ("Trumpet 1", "to Cornet", "cornet"),
        ("Flute 2", "to Oboe", "flute"),
        ("Violin I", "Vla.", "violin"),
        ("Flute 2", "Piccolo theme", "flute"),
    ],
)
def test_a_word_alone_may_put_another_instrument_into_the_hands(
    name: str, word: str, instrument: str
) -> None:
    """An instrument of the player's own kind needs no mention in the name of the part."""
    playing = told(f'part {name}\nC5/1 | "{word}" R | C5/1 |\n')
    assert playing.lines[playing.tones[-1].line].instrument == instrument


def test_a_word_over_a_cue_is_no_change() -> None:
    """“Picc.” over small notes names who plays them (MusicXML 4.0, <cue>)."""
    note = "<note>{}<pitch><step>C</step><octave>5</octave></pitch><duration>4</duration></note>"
    word = "<direction><direction-type><words>Picc.</words></direction-type></direction>"
    bars = (word + note.format("<cue/>"), note.format(""))
    body = "".join(f'<measure number="{n}">{bar}</measure>' for n, bar in enumerate(bars, 1))
    score = read_bytes(
        '<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>Flute 2'
        f'</part-name></score-part></part-list><part id="P1">{body}</part>'
        "</score-partwise>".encode(),
        "cue.musicxml",
    )
    assert [line.instrument for line in play(score, Forces()).lines] == ["flute"]


@pytest.mark.parametrize(
    ("name", "word", "asked"),
    [
        ("Piccolo", "dolce", ["piccolo"]),
        ("Flute 3 (poi Piccolo)", "Picc.", ["piccolo"]),
        ("Flute 2", "muta in Picc.", ["piccolo"]),
        ("Flute 2", "dolce", []),
    ],
)
def test_an_octave_that_the_file_does_not_give_is_asked_about(
    name: str, word: str, asked: list[str]
) -> None:
    """Of instruments taken up on the way too: the piccolo sounds an octave above its notes."""
    score = page(f'part {name}\nC5/1 | "{word}" C5 |\n')
    questions = play(score, Forces(), load()).open_questions
    found = [one.text for one in questions if one.code == "octave-not-given"]
    assert [next(kind for kind in asked if kind in text) for text in found] == asked


@pytest.mark.parametrize(
    ("name", "transpose", "asked"),
    [
        ("Clarinet in B♭", 0, True),
        ("Clarinet in B♭", -2, False),
        ("Horn", 0, True),  # never in C on a modern page
        ("Trumpet", 0, False),  # which may be in C
        ("Trumpet in C", 0, False),
        ("Timpani in Ab, Db", 0, False),
        ("Oboe", 0, False),
    ],
)
def test_a_score_in_c_is_asked_about(name: str, transpose: int, asked: bool) -> None:
    """A player in another key than C gets a part to read, not what sounds."""
    score = page(f"part {name} | transpose={transpose}\nC4/1 |\n")
    questions = play(score, Forces(), load()).open_questions
    assert any(one.code == "transposition-not-given" for one in questions) is asked
