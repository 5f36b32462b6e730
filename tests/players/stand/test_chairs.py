"""Who sits where, and what a name means."""

import pytest

from redstave.base.errors import InputError
from redstave.players.stand import chairs, find_chair
from tests.players.pages import told

PAGE = """part Flöten 1. 2
[C5 E5]/1 | "1." C5 |

part Corno in F 1.
C5/1 | C5 |

part Corno in F 2.
C5/1 | C5 |

part Violino I
"div." [C5 E5]/1 | "unis." C5 |

part Viola
C4/1 | C4 |
"""


def test_every_player_has_a_chair() -> None:
    """Players of a shared stave sit one by one; a divided section shows its parts too."""
    names = [chair.name for chair in chairs(told(PAGE))]
    assert names[:4] == ["Flöte 1", "Flöte 2", "Corno in F 1", "Corno in F 2"]
    assert names[4] == "Violino I"
    assert names[-1] == "Viola"
    assert len(names) == 8


def test_a_portion_plays_with_the_whole() -> None:
    """The chair of one half plays what the whole section plays, and its own half."""
    playing = told(PAGE)
    whole = find_chair(playing, "Violino I")
    half = next(chair for chair in chairs(playing) if chair.portion)
    assert half.lines[0] == whole.lines[0]
    assert len(half.lines) == 2
    assert set(half.lines) < set(whole.lines)


@pytest.mark.parametrize(
    ("wanted", "name"),
    [
        ("Corno in F 2", "Corno in F 2"),
        ("corno in f 2.", "Corno in F 2"),
        ("Horn 2", "Corno in F 2"),
        ("2. Horn", "Corno in F 2"),
        ("Cor 1", "Corno in F 1"),
        ("flute 2", "Flöte 2"),
        ("viola", "Viola"),
        ("Bratsche", "Viola"),
        ("P5", "Viola"),
        ("Violin I", "Violino I"),
    ],
)
def test_names_that_mean_one_player(wanted: str, name: str) -> None:
    """The printed name, its beginning, the part's id, or the name in another language."""
    assert find_chair(told(PAGE), wanted).name == name


def test_a_name_for_several_lists_them() -> None:
    """“Horn” among two horns is told apart in one sentence."""
    with pytest.raises(InputError, match='"Corno in F 1" or "Corno in F 2"'):
        find_chair(told(PAGE), "Horn")


def test_an_unknown_name_lists_everyone() -> None:
    """A name that is nobody's gives the players there are."""
    with pytest.raises(InputError, match=r'no player is called "Tuba".*"Viola"'):
        find_chair(told(PAGE), "Tuba")


def test_equal_names_are_told_apart() -> None:
    """Two staves called alike carry the id of their part."""
    playing = told("part Arpa\nC5/1 |\n\npart Arpa\nC5/1 |\n")
    assert [chair.name for chair in chairs(playing)] == ["Arpa (P1)", "Arpa (P2)"]
    assert find_chair(playing, "P2").lines == (1,)
