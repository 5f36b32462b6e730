"""Tempo: metronome marks, numbers and headings in words, and what is assumed."""

import pytest

from redstave.model.line import TempoPoint
from redstave.players.tempo_words import headings, read_words
from tests.players.pages import HEADER, told


def _quarters(text: str) -> float:
    return next((one.value for one in read_words(text) if one.kind == "number"), 0.0)


def test_a_metronome_mark_gives_the_seconds() -> None:
    """At 120 quarters a minute a bar of 4/4 lasts two seconds."""
    playing = told("part Flute\nC5/1 | D5 |\n", HEADER + 'tempo: 120 "Allegro"\n')
    assert [(tone.start_s, tone.stop_s) for tone in playing.tones] == [(0.0, 2.0), (2.0, 4.0)]
    assert not playing.tempo.assumed


def test_a_change_of_tempo_is_followed() -> None:
    """After a change in the second bar the third bar starts later."""
    playing = told("part Flute\nC5/1 | %60 D5 | E5 |\n", HEADER + "tempo: 120\n")
    assert [tone.start_s for tone in playing.tones] == [0.0, 2.0, 6.0]


def test_without_a_tempo_ninety_is_assumed_and_said() -> None:
    """No tempo on the page: 90 quarters a minute, marked as assumed, and an open question."""
    playing = told("part Flute\nC5/1 |\n", HEADER)
    assert playing.tempo.points == (TempoPoint(0, 0.0, 90.0, 90.0),)
    assert playing.tempo.assumed
    assert any("No tempo is given" in question.text for question in playing.open_questions)


def test_a_heading_without_number_is_assumed_and_said() -> None:
    """“Andante” alone is our assumed Andante."""
    playing = told('part Flute\n!"Andante" C5/1 |\n', HEADER)
    assert playing.tempo.points[0].quarters == headings()["andante"].number
    assert playing.tempo.assumed
    assert any("“Andante”" in question.text for question in playing.open_questions)


@pytest.mark.parametrize(
    ("text", "quarters"),
    [
        ("Maestoso = 138", 138.0),  # no note value drawn: a quarter assumed
        ("Più mosso. ( \ueca5 = 84)", 84.0),  # SMuFL metNoteQuarterUp
        ("Allegro \ueca3 = 60", 120.0),  # SMuFL metNoteHalfUp
        ("\ueca5\uecb7 = 60", 90.0),  # SMuFL dotted quarter
        ("♩ = 60–66", 63.0),  # the middle of a range
        ("animato", 0.0),
        ("dolce", 0.0),
        ("Tranquillo", 0.0),
    ],
)
def test_numbers_in_words(text: str, quarters: float) -> None:
    """A number after “=” is a metronome mark; words in small letters are no heading."""
    assert _quarters(text) == quarters


def test_headings_stand_in_the_order_of_metronome_scales() -> None:
    """Grave < Adagio < Andante < Moderato < Allegretto < Allegro < Vivace < Presto (tradition)."""
    words = ["grave", "adagio", "andante", "moderato", "allegretto", "allegro", "vivace", "presto"]
    beats = [headings()[word].number for word in words]
    assert beats == sorted(beats)
    assert len(set(beats)) == len(beats)


def test_tempo_primo_and_comparisons() -> None:
    """“Più mosso” is faster, the same words twice are no faster still, “Tempo I” returns."""
    bars = 'C5/1 | !"Più mosso" D5 | !"Più mosso" E5 | !"Tempo I" F5 |'
    playing = told(f"part Flute\n{bars}\n", HEADER + "tempo: 100\n")
    speeds = [point.quarters for point in playing.tempo.points]
    assert speeds == [100.0, pytest.approx(115.0), 100.0]
    assert playing.tempo.assumed


_BEATS = [
    ("6/8", "C5/2.", 1.5), ("2/2", "C5/1", 2.0), ("3/4", "C5/2.", 1.0), ("3/8", "C5/4.", 0.5),
]  # fmt: skip


def test_compound_and_alla_breve_beats() -> None:
    """A heading in 6/8 counts dotted quarters, in 2/2 halves, in 3/8 eighths."""
    allegro = headings()["allegro"].number
    for meter, bar, unit in _BEATS:
        playing = told(f'part Flute\n!"Allegro" {bar} |\n', f"title: T\nmeter: {meter}\n")
        assert playing.tempo.points[0].quarters == pytest.approx(allegro * unit)


@pytest.mark.parametrize(
    ("words", "beats"),
    [
        ("Tempo di valse", 160.0),
        ("Tranquillo", 63.0),
        ("Con moto", 100.0),
        ("tranquillo", 90.0),  # a small letter: how to play, not how fast
        ("Dolce", 90.0),
        ("Lento tranquillo", 54.0),
    ],
)
def test_a_dance_or_a_mood_may_head_a_piece(words: str, beats: float) -> None:
    """Where nothing better tells the first tempo it is taken from them, as an assumption."""
    playing = told(f'part Flute\n!"{words}" C5/1 | D5 |\n', "title: T\nmeter: 4/4\n")
    assert [point.quarters for point in playing.tempo.points] == [beats]
    assert playing.tempo.assumed


def test_a_mood_in_the_middle_changes_no_tempo() -> None:
    """“Tranquillo” under a tempo, or later in the piece, says how to play."""
    for bars in ('C5/1 | !"Tranquillo" D5 |', '!"Tranquillo" C5/1 | D5 |'):
        playing = told(f"part Flute\n{bars}\n", "title: T\nmeter: 4/4\ntempo: 100\n")
        assert [point.quarters for point in playing.tempo.points] == [100.0]


@pytest.mark.parametrize("words", ["Nicht schnell", "Pas trop vite", "Non troppo lento"])
def test_a_tempo_told_by_what_it_is_not_is_moderate(words: str) -> None:
    """“Not fast” is not fast (common practice)."""
    playing = told(f'part Flute\n!"{words}" C5/1 |\n', "title: T\nmeter: 4/4\n")
    assert playing.tempo.points[0].quarters == headings()["moderato"].number


def test_a_step_is_no_denial() -> None:
    """“Pas de deux” is a dance."""
    playing = told('part Flute\n!"Pas de deux. Vif" C5/1 |\n', "title: T\nmeter: 4/4\n")
    assert playing.tempo.points[0].quarters == headings()["vif"].number
