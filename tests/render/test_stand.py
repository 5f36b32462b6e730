"""The page from one chair in words."""

from redstave.model.line import Forces
from redstave.players import play
from redstave.players.stand import find_chair, stand_of
from redstave.reading import read_bytes
from redstave.render.stand import StandPage, stand_page

HEADER = "title: A test\nmeter: 4/4\ntempo: 60\n\n"


def told(text: str) -> StandPage:
    """Return the page of the first player of a tiny text."""
    score = read_bytes((HEADER + text).encode(), "test.tiny")
    playing = play(score, Forces())
    return stand_page(stand_of(score, playing, find_chair(playing, playing.lines[0].name)), score)


def test_a_page_reads_like_a_teacher_would_say_it() -> None:
    """Rests, entries, swells and what is open, in whole sentences."""
    shown = told("part Horn in F | transpose=-7\nR*2 | p < C5/1 | D5 = | f E5 | R*3 | G5/1 |\n")
    assert shown.title == "Horn in F"
    assert shown.lead[0] == "Plays in 4 of 9 bars, in 2 passages."
    assert shown.lead[1].startswith("Longest without a rest: bars 3–5, about 12 s.")
    assert shown.sections == (
        (
            "Bars 3–5, after 2 bars of rest (8.0 s)",
            "Enters p on C5. Written compass C5 to E5.\nBars 3–4 crescendo to f.",
        ),
        (
            "Bar 9, after 3 bars of rest (12 s)",
            "Enters on G5 without a new level: f still holds from bar 5.",
        ),
    )
    assert shown.open == ("The level of bar 5 is not told again at the entry in bar 9.",)


def test_what_is_missing_is_said() -> None:
    """An entry without any level, and a hairpin without a goal."""
    shown = told("part Flute\nC5/1 | < D5 = | E5 | E5 |\n")
    text = shown.sections[0][1]
    assert text.startswith("Enters on C5 without any level so far: mf assumed.")
    assert "bar 2 crescendo without a goal." in text
    assert shown.open[:2] == (
        "No level stands at the entry in bar 1.",
        "The crescendo in bar 2 has no goal.",
    )


def test_changes_are_told_with_their_time() -> None:
    """Mutes and instruments say how many seconds there are."""
    shown = told('part Trumpet\nf C5/1 | "con sord." R*3 | pp Db5/1 |\n')
    assert shown.sections[1][1] == (
        "Enters pp on D♭5, muted since bar 2.\nBar 2 con sord. (12 s from note to note)."
    )
    shown = told('part Flute (Piccolo)\np C5/1 | "muta in Piccolo" R*3 | D5/1 |\n')
    assert "Changes between flute and piccolo." in shown.lead[0]
    assert "on the piccolo" in shown.sections[1][1]
    assert "takes the piccolo (12 s to change)" in shown.sections[1][1]


def test_stresses_are_told_together() -> None:
    """Many sf are one sentence with their bars."""
    shown = told("part Flute\np C5/1 | sf C5 | sf C5 | C5 | sf C5 |\n")
    assert shown.sections[0][1].endswith("sf in bars 2, 3 and 5.")


def test_a_long_passage_is_cut_at_its_letters() -> None:
    """A passage with rehearsal letters has a paragraph for each."""
    shown = told("part Flute\np C5/1 | f C5 | @A C5 | p C5 | @B C5 |\n")
    paragraphs = shown.sections[0][1].split("\n")
    assert [one[:8] for one in paragraphs[1:]] == ["Bar 1 “q", "Bar 3 le", "Bar 5 le"]


def test_a_tacet_page_is_short() -> None:
    """Who does not play has one sentence."""
    shown = told("part Flute\nR | R |\n")
    assert (shown.lead, shown.sections) == (("Does not play.",), ())
