"""What is wrong in a tiny score is told with the line of the text."""

import pytest

from redstave.base.errors import InputError
from redstave.reading.tiny import to_musicxml


@pytest.mark.parametrize(
    ("text", "line", "said"),
    [
        ("title Study\npart A\nC5/1 |", 1, "expected 'name: value'"),
        ("colour: red\npart A\nC5/1 |", 1, "'colour'"),
        ("meter: 4\npart A\nC5/1 |", 1, "metre"),
        ("key: 9\npart A\nC5/1 |", 1, "key"),
        ("pitch: heard\npart A\nC5/1 |", 1, "written or sounding"),
        ("tempo: fast\npart A\nC5/1 |", 1, "tempo"),
        ("part\nC5/1 |", 1, "no name"),
        ("part A | loud=1\nC5/1 |", 1, "'loud=1'"),
        ("part A | clef=soprano\nC5/1 |", 1, "'soprano'"),
        ("part A | staves=9\nC5/1 |", 1, "staves"),
        ("part A | transpose=down\nC5/1 |", 1, "transpose"),
        ("part A\nC5/1 |\nH5/1 |", 3, "'H5/1'"),
        ("part A\nC5/3 |", 2, "/3"),
        ("part A\nC5/1:loud |", 2, "':loud'"),
        ("part A\nloud C5/1 |", 2, "'loud'"),
        ("part A\nC5/2 |", 2, "holds 1/2, not 1/1"),
        ("part A\nC5/1 D5 |", 2, "holds 2/1"),
        ("part A\nC5/1 | |", 2, "nothing stands"),
        ("part A\nmf |", 2, "no note"),
        ("part A\nC5/1( |", 2, "slur"),
        ("part A\nC5/1) |", 2, "')'"),
        ("part A\n< C5/1 |", 2, "hairpin"),
        ("part A\nC5/1 = |", 2, "'='"),
        ("part A\nC5/1~ | D5 |", 2, "'~'"),
        ("part A\nC5/1~ |", 2, "tie"),
        ("part A\n{3:2 C5/2 D5 E5 |", 2, "tuplet"),
        ("part A\nC5/1 } |", 2, "'}'"),
        ("part A\n{0:2 C5/1 } |", 2, "nought"),
        ("part A\n[C5 x]/1 |", 2, "'x'"),
        ("part A\n[]/1 |", 2, "no note"),
        ("part A\nC5/1 // C3 |", 2, "'//'"),
        ("part A\nclef:soprano C5/1 |", 2, "'soprano'"),
        ("part A\nC5/2 meter:3/4 C5 |", 2, "beginning of a bar"),
        ("part A\nC5/1 |\npart B\nC5/1 | D5 |", 3, "B has 2 bars"),
        ("part A\nC5/1 |\npart B\nmeter:3/4 C5/2. |", 4, "3/4 here"),
        ("part A\nC5/1 || D5 |\npart B\nC5/1 :| D5 |", 2, "barline"),
    ],
)
def test_errors_name_their_line(text: str, line: int, said: str) -> None:
    """Every fault is an InputError with the line and what was expected."""
    with pytest.raises(InputError) as caught:
        to_musicxml(text)
    assert str(caught.value).startswith(f"Tiny notation, line {line}: ")
    assert said in str(caught.value)


def test_a_text_without_parts_is_an_error() -> None:
    """A tiny score without a part says so."""
    with pytest.raises(InputError, match="no line that begins with 'part'"):
        to_musicxml("title: Nothing")
