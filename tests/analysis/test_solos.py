"""Where the page says that a line leads, in words and by the sign of a main voice."""

import pytest

from redstave.analysis.solos import marked_leads
from redstave.model.line import Forces
from redstave.players import play
from redstave.reading import read_bytes

NOTE = "<note><pitch><step>C</step><octave>5</octave></pitch><duration>4</duration></note>"


def _leads(*before: str) -> list[tuple[int, int]]:
    """Return the leads of a flute in bars; `before` is what is printed before each whole note."""
    drawn = [f"<direction><direction-type>{sign}</direction-type></direction>" for sign in before]
    bars = "".join(
        f'<measure number="{number}">'
        + ("<attributes><divisions>1</divisions></attributes>" if number == 1 else "")
        + (sign if before[number - 1] else "")
        + f"{NOTE}</measure>"
        for number, sign in enumerate(drawn, 1)
    )
    score = read_bytes(
        '<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>Flute</part-name>'
        f'</score-part></part-list><part id="P1">{bars}</part></score-partwise>'.encode(),
        "leads.musicxml",
    )
    length = score.bars[0].length
    found = marked_leads(score, play(score, Forces()))
    return [(lead.start // length, lead.stop // length) for lead in found]


@pytest.mark.parametrize(
    "word",
    ["solo", "espr.", "cantabile", "in rilievo", "en dehors", "hervortretend", "bring out",
     "singend", "la melodia ben marcata"],
)  # fmt: skip
def test_words_that_say_that_a_line_leads(word: str) -> None:
    """From the word to the end of the passage, or to a word that takes it back."""
    said = f"<words>{word}</words>"
    assert _leads("", said, "") == [(1, 3)]
    assert _leads("", said, "<words>tutti</words>") == [(1, 2)]
    assert _leads("", "<words>dolce</words>", "") == []


def test_the_sign_of_a_main_voice_says_so_too() -> None:
    """Its bracket begins and ends (MusicXML 4.0, <principal-voice>); a second voice is none."""
    begins = '<principal-voice type="start" symbol="{}">H</principal-voice>'
    ends = '<principal-voice type="stop" symbol="none"/>'
    assert _leads("", begins.format("Hauptstimme"), "", ends) == [(1, 3)]
    assert _leads("", begins.format("Nebenstimme"), "", ends) == []
