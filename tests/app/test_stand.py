"""The page from one chair and the facts as data."""

from pathlib import Path

import pytest

from redstave import app
from redstave.analysis import Analysis
from redstave.reading import read_bytes

TINY = """title: T
meter: 4/4
tempo: 60
part Flute 1. 2
p "1." C5/1 |: < D5 = | f E5 :| R*3 | "2." G5/1 |
part Viola
"con sord." pp C4/1 | D4 | R*4 | C4 |
"""


@pytest.fixture(scope="module")
def demo(root: Path) -> Analysis:
    """The demo entry."""
    return app.open_entry(root / "src" / "redstave" / "app" / "demo" / "orchestra.musicxml")


def tiny() -> Analysis:
    """A small score of two staves."""
    return Analysis(read_bytes(TINY.encode(), "t.tiny"))


def test_players_of_the_demo(demo: Analysis) -> None:
    """Every player has a row with the bars in which notes begin."""
    rows = {row["player"]: row for row in app.players(demo)}
    assert rows["Flute 1"]["instrument"] == "flute"
    assert rows["Horn in F 2"]["first_bar"] == 11
    assert rows["Violin I"]["heads"] == 14
    assert rows["Violin I (upper half)"]["heads"] == 7


def test_a_player_of_the_demo(demo: Analysis) -> None:
    """Horn 2 of the demo: three passages, each with its rest, entry and goal, as printed."""
    seen = app.stand(demo, "Horn 2")
    passages = seen["passages"]
    assert isinstance(passages, list)
    assert [(one["bar"], one["last_bar"], one["rest_bars"]) for one in passages] == [
        (11, 16, 10), (21, 28, 4), (39, 40, 10)
    ]  # fmt: skip
    assert [one["entry"]["printed"] for one in passages] == ["p", "mf", "pp"]
    swells = [
        (sign["kind"], sign["bar"], sign["last_bar"], sign["text"])
        for one in passages
        for sign in one["signs"]
        if not sign["kind"].startswith(("tempo", "word", "level"))
    ]
    assert swells == [
        ("crescendo", 11, 12, "f"), ("diminuendo", 15, 15, "p"),
        ("crescendo", 25, 26, "f"), ("diminuendo", 28, 28, "p"),
        ("diminuendo", 39, 39, "ppp"),
    ]  # fmt: skip
    assert all(sign["told"] for one in passages for sign in one["signs"])


def test_two_players_of_one_stave_see_different_pages() -> None:
    """The first flute has the beginning, the second comes in at the end, after six bars of rest."""
    first, second = (app.stand(tiny(), f"Flute {number}") for number in (1, 2))
    assert [one["bar"] for one in first["passages"]] == [1]  # type: ignore[attr-defined]
    passages = second["passages"]
    assert isinstance(passages, list)
    assert [(one["bar"], one["rest_bars"]) for one in passages] == [(7, 6)]


def test_techniques_at_an_entry_have_their_bar() -> None:
    """A muted section enters muted, since the bar that said so."""
    passages = app.stand(tiny(), "Viola")["passages"]
    assert isinstance(passages, list)
    assert passages[1]["entry"]["techniques"] == [{"name": "muted", "since": 1}]
    assert passages[1]["entry"]["since"] == 1
    assert passages[1]["entry"]["cause"] == "carried"


def test_duration_with_and_without_repeats() -> None:
    """Seven bars of four seconds; two of them are repeated."""
    assert app.facts(tiny())["duration"] == {
        "seconds": 28.0,
        "with_repeats_seconds": 36.0,
        "order": [[1, 3], [2, 7]],
        "tempo_assumed": False,
    }


def test_open_questions_have_their_place() -> None:
    """An open question carries a code, a printed bar or null, and a part or an empty text."""
    analysis = Analysis(read_bytes(b"meter: 4/4\npart Flute\nC5/1 | D5:fermata |\n", "t.tiny"))
    found = {one["code"]: one for one in app.facts(analysis)["open_questions"]}  # type: ignore[attr-defined]
    assert found["no-first-tempo"]["bar"] == 1
    assert found["fermata-length"]["bar"] == 2
    assert found["no-first-level"]["bar"] is None
    titles = [theme.title for theme in app.themes(analysis)]
    assert titles == ["How loud", "How fast"]
