"""Law 5: a number without unit, uncertainty and source does not load."""

import pytest

from redstave.base.citation import midi_of, read_bibliography, read_cited
from redstave.base.errors import DataError

BOOKS = read_bibliography('[meyer]\ntitle = "Acoustics"\nread = "Chapter 3"\n')
GOOD = {
    "value": "23.6",
    "unit": '"dB/oct"',
    "uncertainty": "3",
    "source": '"meyer"',
    "flag": '"read"',
}


def leaf(**changes: str | None) -> str:
    """A data file with one leaf; None leaves a key out."""
    cells = {key: word for key, word in {**GOOD, **changes}.items() if word is not None}
    return "fall = { " + ", ".join(f"{key} = {word}" for key, word in cells.items()) + " }\n"


def test_a_cited_number_loads() -> None:
    """A complete leaf gives its value with unit, uncertainty, source and flag."""
    quantity = read_cited(leaf(), "x.toml", BOOKS)["fall"]
    assert (quantity.number, quantity.unit, quantity.uncertainties) == (23.6, "dB/oct", (3.0,))
    assert (quantity.source, quantity.flag) == ("meyer", "read")


@pytest.mark.parametrize("key", ["value", "unit", "uncertainty", "source", "flag"])
def test_a_leaf_without_one_of_its_five_parts_is_refused(key: str) -> None:
    """Whatever part is missing, the file does not load and the error names file, leaf and part."""
    with pytest.raises(DataError, match=rf"x\.toml: fall: lacks .*{key}"):
        read_cited(leaf(**{key: None}), "x.toml", BOOKS)


@pytest.mark.parametrize(
    ("changes", "complaint"),
    [
        ({"unit": '"furlong"'}, "unit"),
        ({"source": '"nobody"'}, "bibliography"),
        ({"flag": '"guessed"'}, "flag"),
        ({"uncertainty": "-1"}, "uncertainty"),
        ({"uncertainty": "true"}, "uncertainty"),
        ({"uncertainty": '"some"'}, "uncertainty"),
        ({"uncertainty": "[1, 2]"}, "uncertainty"),
        ({"value": "[1, 2]", "uncertainty": "[1]"}, "uncertainty"),
        ({"value": "true"}, "value"),
        ({"note": '"x"'}, "unknown keys"),
    ],
)
def test_a_leaf_with_a_false_part_is_refused(changes: dict[str, str], complaint: str) -> None:
    """Unknown unit, source, flag or key, and a false uncertainty or value, do not load."""
    with pytest.raises(DataError, match=complaint):
        read_cited(leaf(**changes), "x.toml", BOOKS)


@pytest.mark.parametrize("text", ["fall = 23.6\n", "fall = [1, 2]\n", "[level]\nf = 102\n"])
def test_a_bare_number_is_refused(text: str) -> None:
    """A number outside a leaf does not load, wherever it stands."""
    with pytest.raises(DataError, match="bare number"):
        read_cited(text, "x.toml", BOOKS)


def test_words_need_no_source() -> None:
    """Names and lists of names are no numbers."""
    assert read_cited('id = "horn"\nmarks = ["p", "f"]\n', "x.toml", BOOKS) == {
        "id": "horn",
        "marks": ("p", "f"),
    }


@pytest.mark.parametrize("text", ['[a]\ntitle = "x"\n', "[a]\ntitle = 1\nread = 2\nyear = 3\n"])
def test_a_source_says_what_was_read(text: str) -> None:
    """A bibliography entry without title or without what was read does not load."""
    with pytest.raises(DataError, match="source 'a'"):
        read_bibliography(text)


@pytest.mark.parametrize(
    ("name", "midi"), [("C4", 60), ("A4", 69), ("Bb3", 58), ("F#2", 42), ("Cb1", 23), ("C-1", 0)]
)
def test_pitch_names_are_scientific(name: str, midi: int) -> None:
    """Middle C is C4 and MIDI 60."""
    assert midi_of(name) == midi


@pytest.mark.parametrize("name", ["H4", "c4", "C", "C##4", "4"])
def test_other_pitch_names_are_refused(name: str) -> None:
    """What is no scientific pitch name is an error, not a guess."""
    with pytest.raises(DataError, match="pitch name"):
        midi_of(name)


def test_pitches_and_points_become_numbers() -> None:
    """Pitch names give MIDI numbers; pairs give points; a list has one uncertainty each."""
    text = leaf(value='[["C2", 2.3], ["A4", 0.7]]', unit='"s"')
    assert read_cited(text, "x.toml", BOOKS)["fall"].rows == ((36.0, 2.3), (69.0, 0.7))
    text = leaf(value='["G3", "E7"]', unit='"pitch"', uncertainty="[0, 2]")
    found = read_cited(text, "x.toml", BOOKS)["fall"]
    assert (found.numbers, found.uncertainties) == ((55.0, 100.0), (0.0, 2.0))
