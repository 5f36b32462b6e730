"""Techniques in force, in four languages."""

import pytest

from redstave.players.techniques import read_techniques
from tests.players.pages import told, tones_of


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("pizz.", ("pizz",)),
        ("pizzi", ("pizz",)),
        ("arco", ("arco",)),
        ("gestrichen", ("arco",)),
        ("lang gezogen", ("arco",)),
        ("div. pizz.", ("pizz",)),
        ("[arco]", ("arco",)),
        ("con sord.", ("mute",)),
        ("con sordini", ("mute",)),
        ("mit Dämpfer", ("mute",)),
        ("mettez la sourdine", ("mute",)),
        ("1. sourd.", ("mute",)),
        ("muted", ("mute",)),
        ("senza sord.", ("unmute",)),
        ("senza sordini", ("unmute",)),
        ("ohne Dämpfer", ("unmute",)),
        ("ôtez vite la sourdine", ("unmute",)),
        ("sans sourd.", ("unmute",)),
        ("enlevez la Sourdine", ("unmute",)),
        ("col legno, léger", ("col-legno",)),
        ("sul pont.", ("sul-ponticello",)),
        ("am Steg", ("sul-ponticello",)),
        ("sur la touche", ("sul-tasto",)),
        ("sul tasto", ("sul-tasto",)),
        ("gewöhnlich", ("ordinary",)),
        ("trem.", ("tremolo",)),
        ("gestopft", ("stopped",)),
        ("bouché", ("stopped",)),
        ("Flzg. dolce", ()),
        ("Flatterzunge", ("flutter",)),
        ("dolce", ()),
        ("arcoiris", ()),
    ],
)
def test_words_of_technique(text: str, expected: tuple[str, ...]) -> None:
    """Words met on real pages (and their usual variants, common practice) are understood."""
    assert read_techniques(text) == expected


def _techniques(part: str, bars: str) -> list[str]:
    return [tone.technique for tone in tones_of(told(f"part {part}\n{bars}\n"), "P1")]


def test_pizzicato_lasts_until_arco() -> None:
    """The word pizz. holds over bars and rests until arco."""
    assert _techniques("Violin 1", 'C5/1 | "pizz." D5 | R | E5 | "arco" F5 |') == [
        "", "pizz", "pizz", "",
    ]  # fmt: skip


def test_mute_lasts_until_it_is_taken_off() -> None:
    """The words con sord. hold until senza sord.; pizzicato with mute counts as pizzicato."""
    bars = '"con sord." C5/1 | "pizz." D5 | "arco" E5 | "senza sord." F5 |'
    assert _techniques("Viola", bars) == ["mute", "pizz", "mute", ""]


def test_col_legno_is_cancelled_by_arco_and_by_ordinario() -> None:
    """Both words end col legno."""
    assert _techniques("Violin 1", '"col legno" C5/1 | "arco" D5 |') == ["col-legno", ""]
    assert _techniques("Violin 1", '"col legno" C5/1 | "ord." D5 |') == ["col-legno", ""]


def test_signs_hold_for_their_note_only() -> None:
    """Tremolo strokes, the plus of stopped notes and the circle of harmonics are for one note."""
    assert _techniques("Violin 1", "C5/2:tremolo3 D5 |") == ["tremolo", ""]
    assert _techniques("Horn in F", "C5/2:stopped D5 |") == ["stopped", ""]
    assert _techniques("Violin 1", "D5/2:harmonic E5 |") == ["harmonic", ""]


def test_a_sign_on_a_chord_is_for_all_its_notes() -> None:
    """Both notes of a chord under one tremolo sign are tremolo."""
    assert _techniques("Violin 1", "[C5 E5]/1:tremolo3 |") == ["tremolo", "tremolo"]


def test_string_words_in_a_wind_part_change_nothing() -> None:
    """A copied “pizz.” does not make a flute pluck."""
    assert _techniques("Flute", '"pizz." C5/1 |') == [""]


def test_points_keep_everything_in_force() -> None:
    """The points of a line show mute, place and bow at once, with the mark that set them."""
    playing = told('part Violin 1\n"con sord." C5/1 | "sul pont." D5 | "pizz." E5 |\n')
    last = playing.techniques["P1"][-1]
    assert (last.bow, last.mute, last.place) == ("pizz", True, "sul-ponticello")
    assert last.cause.startswith("P1.2.m")
