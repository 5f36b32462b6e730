"""What the teacher types: paragraphs kept, nothing unfit for a document, shortened at words."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from lxml import etree

from redstave.render.typed import cleaned, direction, lettered, one_line, paragraphs, shortened_to


def test_paragraphs_are_kept() -> None:
    """Blank lines part paragraphs, a single line break stays, other line ends are the same."""
    assert paragraphs("One.\n\nTwo,\nstill two.\r\n \r\n\n\nThree.\r") == (
        "One.",
        "Two,\nstill two.",
        "Three.",
    )
    assert paragraphs(" \n\n ") == ()


@given(st.text(st.characters()))
def test_any_text_can_be_written(text: str) -> None:
    """Whatever is typed can stand in an XML document and be encoded (XML 1.0, Char)."""
    clean = cleaned(text)
    element = etree.Element("p")
    element.text = clean
    assert etree.fromstring(etree.tostring(element)).text in (clean, None)
    clean.encode("utf-8")


@given(st.text(), st.integers(2, 80))
def test_a_shortened_text_fits(text: str, most: int) -> None:
    """It is no longer than asked for, in one line, and unchanged where there is room."""
    short = shortened_to(text, most)
    assert len(short) <= most
    assert "\n" not in short
    if len(one_line(text)) <= most and "." not in text and "!" not in text and "?" not in text:
        assert short == one_line(text)


@pytest.mark.parametrize(
    ("text", "most", "short"),
    [
        ("The flute is lost. Bring the horns down.", 30, "The flute is lost."),
        ("In bar 16 Flute 1. 2 must play low.", 30, "In bar 16 Flute 1. 2 must…"),
        ("Write “div.” In bar 3 it is needed most.", 24, "Write “div.” In bar 3…"),
        ("Is it meant? Then say so.", 20, "Is it meant?"),
        ("x" * 50, 10, "x" * 9 + "…"),
    ],
)
def test_shortening_ends_at_a_sentence_or_a_word(text: str, most: int, short: str) -> None:
    """A first sentence that fits is enough; the dot of a number or an abbreviation ends none."""
    assert shortened_to(text, most) == short


def test_levels_become_letters() -> None:
    """Signs of a music font become the letters they show (SMuFL 1.4, Dynamics; Unicode)."""
    assert lettered("\ue52d, \ue52b and \U0001d191") == "mf, pp and f"


def test_the_first_letter_gives_the_direction() -> None:
    """Arabic and Hebrew run from right to left, whatever signs or numbers stand before them."""
    assert direction("“12. التوازن, mf") == "rtl"
    assert direction("3. שלום") == "rtl"
    assert direction("mf التوازن") == "ltr"
    assert direction("12 …") == "ltr"
