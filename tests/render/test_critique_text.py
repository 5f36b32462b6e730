"""The letter as plain text: wrapped, complete, with levels in letters and nothing but words."""

import pytest

from redstave.model.letter import Letter
from redstave.render.critique_compose import compose_critique
from redstave.render.critique_text import WIDTH, critique_text, wrapped
from tests.render.letters import RTL, analysis, bare, hostile, letter, many, remark, review


def text_of(one: Letter) -> str:
    """Return a letter as text."""
    return critique_text(compose_critique(one, review(), analysis(), pictured=False))


@pytest.mark.parametrize("one", [letter(), bare(), many(), hostile()])
def test_no_line_is_too_long(one: Letter) -> None:
    """Whatever is typed, lines end in time and the text ends in one line feed."""
    text = text_of(one)
    assert max(map(len, text.splitlines())) <= WIDTH
    assert text.endswith("\n")
    assert not text.endswith("\n\n")
    assert "\n\n\n" not in text


def test_it_says_what_the_page_says() -> None:
    """Numbers, places, texts, why, way out, trial, evidence, grades, next step, caution."""
    text = " ".join(text_of(letter()).split())
    for words in (
        "[1] Bar 1 · Flute 1. 2 A clear opening. Why it works: It sings.",
        "[3] Bar 2 · Flute 1. 2 (A question) Is this meant? Or not? Why it matters: Nobody",
        "(Another way, Balance and clarity)",
        "Tried: Mark the strings one level softer in bars 1–2.",
        "Flute 1: before −4 ± 5 dB, covered; after +7 ± 5 dB, heard.",
        "Measured (",
        "[6] Bar 2 · Flute 1. 2 (A question) Why a rest? A way out: Write a note.",
        "Balance and clarity: Good, 14.5 of 20 (75 % of the whole) Mostly clear. Almost always.",
        "Altogether 69 of 100",
        "Write bar 3 again, three times.",
        "With good wishes, M. Quill",
        "The ear and the rehearsal decide.",
    ):
        assert words in text, words


def test_levels_are_letters() -> None:
    """Signs of a music font come out as the letters of the level."""
    assert "Too soft: mp, not pp." in text_of(letter(remark(text="Too soft: \ue52c, not \ue52b.")))


def test_hostile_words_stay_words() -> None:
    """Nothing is escaped in plain text, and control characters are gone."""
    text = text_of(hostile())
    assert "<script>alert('x')</script>" in text
    assert RTL in " ".join(text.split())
    assert "\x00" not in text


def test_paragraphs_and_line_breaks_are_kept() -> None:
    """Blank lines part paragraphs, and a line break inside one stays."""
    assert wrapped(("one\ntwo", "three"), "  ", "- ") == "- one\n  two\n\n  three"
