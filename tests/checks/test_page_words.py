"""What the page-wide checks say in words: a tempo that only a title names, letters that lack."""

import pytest

from redstave.analysis import Analysis
from redstave.checks import catalogue, run_checks
from redstave.model.finding import Claim, Finding
from redstave.reading import read_bytes
from redstave.reading.tiny import to_musicxml
from redstave.render.wording import sentence, words_for
from tests.reading.inline import NOTE, xml_of_bars


def told(slug: str, data: bytes, name: str = "entry.xml") -> list[tuple[Claim | None, str]]:
    """Return claim and sentence of each finding of a check in a file."""
    analysis = Analysis(read_bytes(data, name))

    def said(finding: Finding) -> str:
        return sentence(words_for(finding, analysis.score), finding.claim or Claim.RISK)

    outcome = run_checks(analysis, [catalogue()[slug]])
    assert outcome.not_assessed == ()
    return [(finding.claim, said(finding)) for finding in outcome.findings]


def titled(head: str, bar: str = "") -> bytes:
    """Return a file with a title and a bar, over which something stands."""
    data = xml_of_bars(bar + NOTE.format(""))
    return data.replace(b"<part-list>", head.encode() + b"<part-list>", 1)


MOVEMENT = "<movement-title>Andante con moto</movement-title>"
CREDIT = (
    "<credit><credit-type>subtitle</credit-type><credit-words>II. Andante con moto</credit-words>"
    "</credit>"
)


@pytest.mark.parametrize("head", [MOVEMENT, CREDIT])
def test_a_tempo_in_the_title_is_asked_about(head: str) -> None:
    """It is taken for the tempo, and asked about by its own words; nothing is called absent."""
    ((claim, text),) = told("tempo-absent-or-misplaced", titled(head))
    assert claim is Claim.QUESTION
    assert text.startswith("How fast should bar 1 go: as the title says, “")
    assert "Andante con moto" in text


def test_a_title_without_a_tempo_is_none() -> None:
    """A name is no tempo: the score begins without one."""
    head = "<movement-title>The old mill</movement-title>"
    ((claim, text),) = told("tempo-absent-or-misplaced", titled(head))
    assert claim is Claim.RISK
    assert text == "The score begins without a tempo."


def test_a_word_over_a_stave_is_enough() -> None:
    """Whatever the title says."""
    words = "<direction><direction-type><words>Allegro</words></direction-type></direction>"
    assert told("tempo-absent-or-misplaced", titled(MOVEMENT, words)) == []


def test_the_title_sets_the_pace() -> None:
    """The tempo in use is that of the word, not the one assumed where nothing is said."""
    questions = Analysis(read_bytes(titled(MOVEMENT), "x.xml")).playing.open_questions
    codes = [question.code for question in questions if "tempo" in question.code]
    assert codes == ["tempo-word-without-number", "tempo-only-in-title"]


@pytest.mark.parametrize(
    ("letters", "said"),
    [
        ("", "The score has no rehearsal letters or numbers"),
        ("@A ", "The score has one rehearsal letter or number"),
        ("@A C5/1 | @B ", "The score has 2 rehearsal letters or numbers"),
    ],
)
def test_missing_letters_are_called_letters(letters: str, said: str) -> None:
    """Not "0 marks": the sentence says what is missing."""
    music = f"part Flute\n{letters}C5/1 | " + "D5 | " * 60
    analysis = Analysis(read_bytes(music.encode(), "x.tiny"))
    (finding,) = run_checks(analysis, [catalogue()["rehearsal-marks-sparse"]]).findings
    assert words_for(finding, analysis.score).statement.startswith(f"{said};")


def test_players_of_percussion_are_asked_for_in_the_plural() -> None:
    """Four instruments at once are four players, and the question has the verb of several."""
    parts = "".join(
        f"part {name} | clef=percussion\nf C4/4 C4 C4 C4 | C4/1 |\n"
        for name in ("Anvil", "Ratchet", "Snare drum", "Cymbals")
    )
    data = to_musicxml(f'title: Din\nmeter: 4/4\ntempo: 96 "Allegro"\n{parts}')
    ((claim, words),) = told("percussion-crew-short", data)
    assert claim is Claim.QUESTION
    assert words.startswith("Are there 4 players for the percussion")
