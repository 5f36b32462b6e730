"""Two percussion instruments on one stave: who has a single note (common practice, no source)."""

import pytest

from redstave.model.line import Forces, Playing
from redstave.players import play
from redstave.reading import read_bytes
from tests.players.pages import told

PAIR = "Gran Cassa e Piatti"
DRUM, METAL = "bass-drum", "cymbals"
DECLARED = (
    '<score-instrument id="I1"><instrument-name>Bass Drum</instrument-name></score-instrument>'
    '<score-instrument id="I2"><instrument-name>Cymbals</instrument-name></score-instrument>'
)


def _page(notes: str, declared: str = "") -> Playing:
    xml = (
        f'<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>{PAIR}'
        f'</part-name>{declared}</score-part></part-list><part id="P1"><measure number="1">'
        "<attributes><divisions>1</divisions><clef><sign>percussion</sign></clef></attributes>"
        f"{notes}</measure></part></score-partwise>"
    )
    return play(read_bytes(xml.encode(), "pair.musicxml"), Forces())


def _note(step: str = "E", octave: int = 4, more: str = "") -> str:
    return (
        f"<note><unpitched><display-step>{step}</display-step><display-octave>{octave}"
        f"</display-octave></unpitched><duration>1</duration>{more}</note>"
    )


def _struck(playing: Playing) -> list[set[str]]:
    """Return the instruments of each note in the order of time."""
    found: dict[str, set[str]] = {}
    for tone in playing.tones:
        found.setdefault(tone.notes[0], set()).add(playing.lines[tone.line].instrument)
    return [found[id_] for id_ in sorted(found)]


def _asked(playing: Playing) -> list[str]:
    return [one.text for one in playing.open_questions if one.code == "two-instruments-one-note"]


@pytest.mark.parametrize(
    ("notes", "declared"),
    [
        (  # the file says it of each note
            _note(more="<instrument id='I1'/>") + _note(more="<instrument id='I2'/>"),
            DECLARED,
        ),
        (_note() + _note(more="<notehead>x</notehead>"), ""),  # a cross is the metal's
        (_note("F") + _note("C", 5), ""),  # two places on the stave
        (  # noteheads tell more than places
            _note("C", 5) + _note("F", more="<notehead>x</notehead>"),
            "",
        ),
    ],
)
def test_the_page_tells_whose_a_single_note_is(notes: str, declared: str) -> None:
    """By the note's instrument, its head or its place: the drum first, then the cymbals."""
    playing = _page(notes, declared)
    assert _struck(playing) == [{DRUM}, {METAL}]
    assert _asked(playing) == []


def test_a_line_in_the_lower_voice_is_the_lower_instruments() -> None:
    """Where the upper voice plays elsewhere, single notes of the lower one are the drum's."""
    bar = "<voice>{}</voice>"
    playing = _page(_note(more=bar.format(2)) + _note(more=bar.format(1)))
    assert _struck(playing) == [{DRUM}, {DRUM, METAL}]


def test_a_note_that_nothing_tells_is_both_instruments_and_asked_about() -> None:
    """One place, one kind of head, no word: both play it, and the bar is asked about."""
    playing = _page(_note() + _note())
    assert _struck(playing) == [{DRUM, METAL}] * 2
    (text,) = _asked(playing)
    assert "bar 1:" in text
    assert "given to both" in text


def test_cellos_and_basses_share_a_line_without_a_question() -> None:
    """Of strings a single line on a shared stave is everyone's."""
    assert _asked(told("part Violoncello e Basso | clef=bass\nC3/1 |\n")) == []
