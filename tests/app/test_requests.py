"""Wishes from options and files, made into changes."""

from pathlib import Path

import pytest

from redstave import app
from redstave.app.requests import Request, changes_of, read_requests
from redstave.base.errors import InputError
from redstave.model.change import (
    Alteration,
    Change,
    LeftOut,
    Level,
    Octave,
    Players,
    Step,
    TakenOver,
    Technique,
)
from tests.trial.pages import COVERED_FLUTE, page

PAGE = page(COVERED_FLUTE)
HORNS = ("P2.1", "P2.2", "P3.3", "P3.4")


def wish(**given: object) -> Request:
    """Return a wish about the horns in bars 2 and 3."""
    return Request(who="Horns", bars="2-3", **given)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("asked", "what"),
    [
        (wish(level="p"), [Level(3.0)]),
        (wish(level="-2"), [Step(-2.0)]),
        (wish(level="+1"), [Step(1.0)]),
        (wish(players=1), [Players(1.0)]),
        (wish(without=True), [LeftOut()]),
        (wish(octave=-1), [Octave(-1)]),
        (wish(technique="mute"), [Technique("mute")]),
        (wish(technique="ordinary"), [Technique("")]),
        (
            wish(as_="Bassoon", octave=-1),
            [TakenOver("bassoon", "Bassoon", "woodwind", 1, False, -1)],
        ),
        (wish(as_="Bassoons", players=4), [TakenOver("bassoon", "Bassoon", "woodwind", 4)]),
        (wish(level="p", octave=1), [Level(3.0), Octave(1)]),
    ],
)
def test_a_wish_becomes_changes(asked: Request, what: list[Alteration]) -> None:
    """Each thing asked for is a change of the lines named, in the bars named."""
    assert changes_of(asked, PAGE) == tuple(Change(HORNS, 1, 2, one) for one in what)


@pytest.mark.parametrize(
    ("asked", "told"),
    [
        (wish(), "say what Horns should do"),
        (wish(level="loud"), '"loud" is not a level'),
        (wish(level="-9"), '"-9" is not a level'),
        (wish(players=0), "0 players"),
        (wish(octave=9), "octave of 9"),
        (wish(technique="growl"), '"growl" is not one of'),
        (wish(as_="Thunder"), '"Thunder" is not an instrument'),
        (wish(without=True, level="p"), "cannot be left out and"),
        (Request(who="Horns", level="p"), "say which bars"),
        (Request(who="Horns", bars="2-9", level="p"), "there is no bar 9"),
        (Request(bars="2", level="p"), "say who is meant"),
    ],
)
def test_what_cannot_be_asked_is_told(asked: Request, told: str) -> None:
    """A wish that cannot be fulfilled gives one sentence."""
    with pytest.raises(InputError, match=told):
        changes_of(asked, PAGE)


def test_a_file_of_changes(tmp_path: Path) -> None:
    """A file holds any number of wishes, levels as names or numbers, bars as texts or numbers."""
    path = tmp_path / "changes.toml"
    path.write_text(
        '[[change]]\nwho = "Horns"\nbars = "2-3"\nlevel = -2\n'
        '[[change]]\nwho = "Horn 3"\nbars = 4\nwithout = true\n'
        '[[change]]\nwho = "Violoncello"\nbars = "1"\nas = "Bassoon"\noctave = -1\nplayers = 2\n',
        encoding="utf-8",
    )
    assert read_requests(path) == (
        Request(who="Horns", bars="2-3", level="-2"),
        Request(who="Horn 3", bars="4", without=True),
        Request(who="Violoncello", bars="1", as_="Bassoon", octave=-1, players=2),
    )


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", r"tables \[\[change\]\]"),
        ("level = 3", r"tables \[\[change\]\]"),
        ("[[change]", "is not a file of changes"),
        ('[[change]]\nwhom = "Horns"', "the keys there are who, bars, level"),
        ("[[change]]\nplayers = true", "players = True"),
        ('[[change]]\noctave = "up"', "octave = 'up'"),
        ("[change]\nplayers = 1", r"tables \[\[change\]\]"),
    ],
)
def test_a_faulty_file_is_told(tmp_path: Path, text: str, told: str) -> None:
    """What a file of changes should be is told in one sentence that names it."""
    path = tmp_path / "changes.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(InputError, match=told) as error:
        read_requests(path)
    assert "changes.toml" in str(error.value)
    assert len(str(error.value).splitlines()) == 1


def test_a_missing_file_is_told(tmp_path: Path) -> None:
    """A file that is not there is named."""
    with pytest.raises(InputError, match=r"nowhere\.toml cannot be read"):
        read_requests(tmp_path / "nowhere.toml")


def test_a_trial_shows_every_line_and_what_is_won_or_lost() -> None:
    """Soft horns win the flute and the cello, loud ones lose both."""
    quiet = page(COVERED_FLUTE.replace("f [", "pp ["))
    for analysis, level, verdict in ((PAGE, "p", "won"), (quiet, "ff", "lost")):
        data = app.try_changes(analysis, [Request(who="Horns", bars="1-4", level=level)])
        lines = {line["line"]: line for line in data["lines"]}  # type: ignore[attr-defined]
        assert list(lines) == ["Flute", "Horn 1", "Horn 2", "Horn 3", "Horn 4", "Violoncello"]
        found = {name for name, line in lines.items() if line[verdict]}
        assert found >= {"Flute", "Violoncello"}


def test_help_for_all_covered_tunes_finds_the_planted_one() -> None:
    """Asked for tunes, the flute's solo is named with its bars and a way out."""
    data = app.help_heard(PAGE, "tunes", "")
    (flute,) = data["helped"]  # type: ignore[misc]
    assert (flute["line"], flute["first_bar"], flute["last_bar"]) == ("Flute", 1, 4)
    assert flute["ways"][0]["after"]["state"] == "heard"


def test_help_needs_bars_and_one_line_that_sounds() -> None:
    """A line without bars, bars of rests, and several lines at once are told in a sentence."""
    with pytest.raises(InputError, match="say in which bars Flute"):
        app.help_heard(PAGE, "Flute", "")
    with pytest.raises(InputError, match=r"several lines in bars 1-2 \(Horn 1, Horn 2, "):
        app.help_heard(PAGE, "Horns", "1-2")
    rests = page("part Flute\np C5/1 | R |.\npart Tuba\nff C2/1 | C2/1 |.\n")
    with pytest.raises(InputError, match="nothing is known of how Flute"):
        app.help_heard(rests, "Flute", "2")


def test_the_one_who_plays_is_meant() -> None:
    """Of two flutes on a stave the one that sounds in the bars is helped."""
    music = COVERED_FLUTE.replace("part Flute", "part Flute 1. 2").replace("solo", "1. solo")
    (helped,) = app.help_heard(page(music), "Flute 1. 2", "1-4")["helped"]  # type: ignore[misc]
    assert helped["line"] == "Flute 1"
