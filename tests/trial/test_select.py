"""Who is meant by a name."""

import pytest

from redstave.base.errors import InputError
from redstave.instruments import load
from redstave.model.line import WORKING_ORCHESTRA
from redstave.trial import select_lines, successor
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
NOTES = {"Violin I": 'C5/1 | "div." [C5 E5]/1 |.'}
PLAYING = page(
    "".join(f"part {name}\nf {NOTES.get(name, 'C4/1 | C4/1 |.')}\n" for name in STAVES)
).playing
HORNS = ["Horn in F 1", "Horn in F 2", "Horn in F 3", "Horn in F 4"]
VIOLINS = ["Violin I", "Violin I (upper half)", "Violin I (lower half)", "Violin II"]


@pytest.mark.parametrize(
    ("who", "names"),
    [
        ("Oboe", ["Oboe"]),
        ("Viola.", ["Viola"]),
        ("First Violins", VIOLINS[:3]),
        ("oboes", ["Oboe"]),
        ("Horns", HORNS),
        ("Corni", HORNS),
        ("Horn 3", HORNS[2:3]),
        ("horn  in f 3", HORNS[2:3]),
        ("Horn in F 1. 2", HORNS[:2]),
        ("Violin II", ["Violin II"]),
        ("Violins", VIOLINS),
        ("Violin I", VIOLINS[:3]),
        ("Violin I (upper half)", VIOLINS[1:2]),
        ("brass", HORNS),
        ("winds", ["Flute 1", "Flute 2", "Oboe", *HORNS]),
        ("Strings", [*VIOLINS, "Viola"]),
        ("Violas, Flute 1", ["Flute 1", "Viola"]),
        ("Horns, brass, Horn 1", HORNS),
        ("tutti", [line.name for line in PLAYING.lines]),
    ],
)
def test_names_find_their_lines(who: str, names: list[str]) -> None:
    """Names, plurals, numbers, languages and families find lines, in the order of the page.

    Whoever divides is found with the section.
    """
    found = select_lines(PLAYING, who)
    assert [line.name for line in PLAYING.lines if line.id in found] == names
    assert len(found) == len(names)


@pytest.mark.parametrize(
    ("who", "told"),
    [
        ("Horn", "Horn in F 1, Horn in F 2, Horn in F 3, Horn in F 4"),
        ("Tuba", "nobody here is called"),
        ("Horn 5", "nobody here is called"),
        ("Third Violins", "nobody here is called"),
        ("Oboe, Xyz", '"Xyz"'),
        ("keyboards", "nobody here is called"),
        (" , ", "say who is meant"),
    ],
)
def test_what_is_unknown_or_open_is_told(who: str, told: str) -> None:
    """A name that fits nobody, or several lines, gives one sentence that lists what there is."""
    with pytest.raises(InputError, match=told):
        select_lines(PLAYING, who)


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
