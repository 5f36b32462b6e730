"""The teacher's word by commands: of an entry in a season, and of a single score."""

import json
from pathlib import Path

import pytest

from redstave.base.errors import InputError
from tests.cli.season_runs import ENTRY, data, run

PIANO = """\
title: Two Players
meter: 4/4
tempo: 96 "Andante"
part Piano | staves=2
p C5/1 // C3/1 | C5/1 // C3/1 | D5/1 // D3/1 | E5/1 // E3/1 |.
"""


@pytest.fixture
def place(tmp_path: Path) -> Path:
    """A folder with an entry and the piano piece."""
    (tmp_path / "one.tiny").write_text(
        ENTRY.replace("ff C3/1 | C3/1", "ff C3/1 | G3/2 F3"), "utf-8"
    )
    (tmp_path / "piano.tiny").write_text(PIANO, "utf-8")
    return tmp_path


@pytest.fixture
def season(place: Path) -> tuple[Path, str]:
    """A season with the entry in it, computed, and its code."""
    run("season", "new", place / "s", "--original", place / "piano.tiny")
    (code,) = data("season", "add", place / "s", place / "one.tiny")["codes"]
    run("season", "compute", place / "s")
    return place / "s", code


def test_said_shown_and_taken_back(season: tuple[Path, str]) -> None:
    """What is said is shown by kind, added to, taken back by kind, and makes the review wait."""
    word = ("season", "word", *season)
    assert "Nothing is said of this version yet." in run(*word).stdout
    shown = run(
        *word, "--pin", "3 = 4", "--pin", "4 = none", "--role", "Trombone, bars 1-2: tune",
        "--voice", "bars 1-2, left hand: tune", "--cuts", "3, 2", "--by", "A. T.",
    ).stdout  # fmt: skip
    for line in ("3 = 4", "4 = none", "Trombone, bars 1-2: tune", "bars 1-2, left hand: tune"):
        assert f"\n    {line}\n" in shown
    assert "\n    2, 3\n" in shown
    assert f"redstave season compute {season[0]} {season[1]}" in shown
    found = data(*word)
    assert found["pins"] == [{"entry": 3, "original": 4}, {"entry": 4, "original": None}]
    assert (found["voices"][0]["stave"], found["voices"][0]["choice"]) == (2, "all")
    assert (found["revision"], found["up_to_date"]) == (1, False)
    now = data(*word, "--forget", "pins", "--forget", "voices", "--pin", "2 = 1")
    assert (now["pins"], now["voices"]) == ([{"entry": 2, "original": 1}], [])
    assert now["roles"] == found["roles"]
    assert json.loads(run("season", "compute", season[0], "--json").stdout)["reviewed"]
    assert data(*word)["up_to_date"] is True
    assert "The review waits" not in run(*word).stdout


def test_a_late_or_wrong_word_is_refused(season: tuple[Path, str]) -> None:
    """One sentence says what is wrong; what stood there stands."""
    word = ("season", "word", *season)
    run(*word, "--cuts", "3")
    late = run(*word, "--pin", "3 = 4", "--revision", "0").exception
    assert isinstance(late, InputError)
    assert "it now reads: cuts: 3" in str(late)
    wrong = run(*word, "--role", "Harp, bars 1-2: tune").exception
    assert "Harp" in str(wrong)
    found = data(*word)
    assert (found["cuts"], found["pins"], found["roles"], found["revision"]) == ([3], [], [], 1)


def test_of_a_single_score(place: Path) -> None:
    """Origin, tune and review follow what is said; what needs the piano piece says so."""
    entry, piano = place / "one.tiny", ("--original", place / "piano.tiny")
    bars = data("origin", entry, *piano, "--pin", "4 = 2")["bars"]
    assert [(one["entry"], one["original"]) for one in bars if one["pinned"]] == [(4, 2)]
    at_two = {
        word: [one["part"] for one in data("tune", entry, *word)["spans"] if one["bar"] <= 2][-1]
        for word in ((), ("--role", "Flute, bar 2: tune"))
    }
    assert list(at_two.values()) == ["Trombone", "Flute"]
    assert "from what you say" in run("tune", entry, "--role", "Trombone: tune").stdout
    only = ("--only", "pitch-outside-instrument")
    plain = data("review", entry, *only)["provenance"]["told"]
    told = data("review", entry, *only, "--role", "Trombone: tune")["provenance"]["told"]
    assert (plain, bool(told)) == ("", True)
    refused = run("tune", entry, "--voice", "bar 1, left hand: tune").exception
    assert "no piano piece" in str(refused)
