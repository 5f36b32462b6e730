"""Who is meant by a name."""

import pytest

from redstave.base.errors import InputError
from redstave.instruments import load
from redstave.model.line import WORKING_ORCHESTRA
from redstave.trial import select_line, select_lines, successor
from tests.trial.pages import page

STAVES = (
    "Flute 1. 2",  # two lines, as every stave of two players
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
    ("who", "at"),
    [
        ("Oboe", [2]),
        ("oboes", [2]),
        ("Horns", [3, 4, 5, 6]),
        ("Corni", [3, 4, 5, 6]),
        ("Horn 3", [5]),
        ("Horn in F 1. 2", [3, 4]),
        ("horn  in f 1. 2", [3, 4]),
        ("Violin II", [9]),
        ("Violins", [8, 9]),
        ("brass", [3, 4, 5, 6]),
        ("winds", [0, 1, 2, 3, 4, 5, 6]),
        ("Strings", [8, 9, 10]),
        ("Violas, Flute 1", [0, 10]),
        ("Horns, brass, Horn 1", [3, 4, 5, 6]),
        ("tutti", list(range(11))),
    ],
)
def test_names_find_their_lines(who: str, at: list[int]) -> None:
    """Names, plurals, numbers, languages and families find lines, in the order of the page."""
    assert select_lines(PLAYING, who) == tuple(PLAYING.lines[index].id for index in at)


@pytest.mark.parametrize(
    ("who", "told"),
    [
        ("Horn", "Horn in F 1, Horn in F 2, Horn in F 3, Horn in F 4"),
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
    assert select_line(PLAYING, "Oboe") == 2
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
