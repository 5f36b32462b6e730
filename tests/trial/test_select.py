"""Who is meant by a name."""

import pytest

from redstave.base.errors import InputError
from redstave.instruments import load
from redstave.model.line import WORKING_ORCHESTRA
from redstave.trial import select_line, select_lines, successor
from tests.trial.pages import page

STAVES = (
    "Flute 1. 2",
    "Oboe",
    "Horn in F 1. 2",
    "Horn in F 3. 4",
    "Timpani",
    "Violin I",
    "Violin II",
    "Viola",
)
PLAYING = page("".join(f"part {name}\nf C4/1 |.\n" for name in STAVES)).playing


@pytest.mark.parametrize(
    ("who", "staves"),
    [
        ("Oboe", [1]),
        ("oboes", [1]),
        ("Horns", [2, 3]),
        ("Corni", [2, 3]),
        ("Horn 3", [3]),
        ("Horn in F 1. 2", [2]),
        ("horn  in f 1. 2", [2]),
        ("Violin II", [6]),
        ("Violins", [5, 6]),
        ("brass", [2, 3]),
        ("winds", [0, 1, 2, 3]),
        ("Strings", [5, 6, 7]),
        ("Violas, Flute 1", [0, 7]),
        ("Horns, brass, Horn 1", [2, 3]),
        ("tutti", list(range(8))),
    ],
)
def test_names_find_their_lines(who: str, staves: list[int]) -> None:
    """Names, plurals, numbers, languages and families find lines, in the order of the page."""
    assert select_lines(PLAYING, who) == tuple(PLAYING.lines[at].id for at in staves)


@pytest.mark.parametrize(
    ("who", "told"),
    [
        ("Horn", "Horn in F 1. 2, Horn in F 3. 4"),
        ("Tuba", "nobody here is called"),
        ("Horn 5", "nobody here is called"),
        ("First Violins", "nobody here is called"),
        ("Oboe, Xyz", '"Xyz"'),
        ("keyboards", "nobody here is called"),
        (" , ", "say who is meant"),
    ],
)
def test_what_is_unknown_or_open_is_told(who: str, told: str) -> None:
    """A name that fits nobody, or several lines, gives one sentence that lists what there is."""
    with pytest.raises(InputError, match=told):
        select_lines(PLAYING, who)


def test_one_line_is_one() -> None:
    """Where one line is asked for, a plural of several is told to be too many."""
    assert select_line(PLAYING, "Oboe") == 1
    with pytest.raises(InputError, match="several lines"):
        select_line(PLAYING, "Violins")


@pytest.mark.parametrize(
    ("text", "instrument", "players", "section"),
    [
        ("Bassoon", "bassoon", 1, False),
        ("2 Bassoons", "bassoon", 2, False),
        ("Violas", "viola", 10, True),
        ("Violins II", "violin", 12, True),
        ("Viola", "viola", 1, False),
        ("Fagotto", "bassoon", 1, False),
    ],
)
def test_who_takes_over(text: str, instrument: str, players: int, section: bool) -> None:
    """A plural of strings is the whole section; of other instruments as many as are named."""
    taken = successor(text, -1, WORKING_ORCHESTRA, load())
    assert (taken.instrument, taken.players, taken.section) == (instrument, players, section)
    assert taken.octaves == -1


def test_an_unknown_instrument_is_refused() -> None:
    """A name that is no instrument of the book is told."""
    with pytest.raises(InputError, match="Zither of glass"):
        successor("Zither of glass", 0, WORKING_ORCHESTRA, load())
