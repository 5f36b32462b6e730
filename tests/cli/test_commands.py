"""The commands as a teacher types them: what they print, and how they end."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

ENTRY = "src/redstave/app/demo/orchestra.musicxml"


def redstave(root: Path, *words: str) -> "subprocess.CompletedProcess[str]":
    """Run the command in the project's folder."""
    code = "from redstave.cli import main; main()"
    return subprocess.run(
        [sys.executable, "-c", code, *words], capture_output=True, text=True, cwd=root, check=False
    )


def test_review_writes_a_letter_and_exits_0(root: Path, tmp_path: Path) -> None:
    """Findings alone are no failure; the letter is one HTML file that asks nothing of a network."""
    run = redstave(root, "review", ENTRY, "--out", str(tmp_path / "letter"))
    assert run.returncode == 0, run.stderr
    assert "What works" in run.stdout
    text = (tmp_path / "letter" / "orchestra.html").read_text("utf-8")
    assert "<svg" in text
    assert "<script" not in text


@pytest.mark.parametrize(("kind", "status"), [("impossible", 1), ("question", 1)])
def test_fail_on_gives_1(root: Path, kind: str, status: int) -> None:
    """With --fail-on the demo, which holds every kind of fault, ends with 1."""
    assert redstave(root, "review", ENTRY, "--fail-on", kind).returncode == status


def test_fail_on_gives_0_where_nothing_is_that_grave(root: Path) -> None:
    """A review that only asks questions passes --fail-on risk."""
    words = ["review", ENTRY, "--only", "slur-over-equal-notes", "--fail-on", "risk"]
    assert redstave(root, *words).returncode == 0


def test_json_is_json_and_nothing_else(root: Path) -> None:
    """--json prints one JSON document for each command."""
    for words in (
        ["review", ENTRY],
        ["facts", ENTRY],
        ["hear", ENTRY, "--bars", "3-4"],
        ["checks"],
        ["stand", ENTRY],
        ["stand", ENTRY, "--player", "Horn 2"],
    ):
        run = redstave(root, *words, "--json")
        assert run.returncode == 0, run.stderr
        assert json.loads(run.stdout)


def test_hear_keeps_to_the_bars_asked_for(root: Path) -> None:
    """Hear --bars A-B gives records of those bars only, each with the documented keys."""
    data = json.loads(redstave(root, "hear", ENTRY, "--bars", "3-4", "--json").stdout)
    assert {row["bar"] for row in data["lines"]} == {3, 4}
    keys = {
        "line", "part", "bar", "margin_db", "sd_db", "state", "sounding_share", "loudness_sone",
        "partial_sone", "covered_by",
    }  # fmt: skip
    assert all(keys == row.keys() for row in data["lines"])
    assert {row["state"] for row in data["lines"]} <= {"heard", "doubtful", "covered"}


def test_facts_counts_what_the_file_holds(root: Path) -> None:
    """Facts gives every documented count and every part with its instrument."""
    data = json.loads(redstave(root, "facts", ENTRY, "--json").stdout)
    assert data["bars"] == 40
    assert data["duration"]["seconds"] == data["duration"]["with_repeats_seconds"]
    assert {one["code"] for one in data["open_questions"]} >= {"no-first-level", "fermata-length"}
    assert all(part["instrument"] for part in data["parts"])
    assert set(data["counts"]) == {
        "notes", "rests", "graces", "chords", "ties", "slurs", "hairpins", "levels", "words",
        "articulations", "ornaments", "technical", "tremolos", "tuplets", "tempos", "rehearsals",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["review", "no-such-file.musicxml"], "no-such-file.musicxml"),
        (["review", "README.md"], "README.md"),
        (["review", "src"], "src"),
        (["hear", ENTRY, "--bars", "99-100"], "bar 99"),
        (["hear", ENTRY, "--bars", "5-3"], "bar 5"),
        (["hear", ENTRY, "--bars", "x y"], "range of bars"),
        (["checks", "no-such-check"], "no-such-check"),
        (["stand", ENTRY, "--player", "Horn"], '"Horn in F 1"'),
        (["stand", ENTRY, "--player", "Sackbut"], "no player is called"),
        (["review", ENTRY, "--forces", "many"], "forces"),
        (["review", ENTRY, "--hall", "cellar"], "vienna"),
        (["review", ENTRY, "--players", "angels"], "professional"),
        (["hear", ENTRY, "--seat", "balcony"], "conductor"),
    ],
)
def test_what_cannot_be_used_is_told_in_one_sentence(
    root: Path, words: list[str], told: str
) -> None:
    """Nonsense gives one line on standard error, exit status 2, and no traceback."""
    run = redstave(root, *words)
    assert run.returncode == 2
    assert told in run.stderr
    assert "Traceback" not in run.stderr
    assert len(run.stderr.strip().splitlines()) == 1


def test_checks_shows_the_page_of_one(root: Path) -> None:
    """Checks SLUG prints its headings and settings."""
    run = redstave(root, "checks", "tune-covered")
    assert run.returncode == 0
    for heading in ("What it reports", "Why it matters", "Limits", "Sources"):
        assert heading in run.stdout


def test_demo_writes_its_letter(root: Path, tmp_path: Path) -> None:
    """Demo copies its entry, writes the letter and says where it is."""
    run = redstave(root, "demo", "--out", str(tmp_path / "demo"))
    assert run.returncode == 0, run.stderr
    letter = tmp_path / "demo" / "entry-juniper.html"
    assert str(letter) in run.stdout.replace("\n", "")
    assert letter.stat().st_size > 50_000


def test_stand_shows_the_page_from_one_chair(root: Path) -> None:
    """Stand tells a player's passages with the rests before them; without a player it lists all."""
    page = " ".join(redstave(root, "stand", ENTRY, "--player", "Horn 2").stdout.split())
    assert "Horn in F 2 Plays in 16 of 40 bars, in 3 passages." in page
    assert "Bars 11–16, after 10 bars of rest (25 s) Enters p on F4" in page
    listed = redstave(root, "stand", ENTRY).stdout
    assert "Horn in F 2" in listed
    assert "Double Bass" in listed


def test_facts_tells_what_the_page_leaves_open(root: Path) -> None:
    """Facts says how long the music lasts and what the players are not told."""
    text = " ".join(redstave(root, "facts", ENTRY).stdout.split())
    assert "Lasts about 1 min 39 s." in text
    assert "What the page leaves open for the players Who plays" in text


def test_write_writes_what_the_name_asks_for(root: Path, tmp_path: Path) -> None:
    """An .mxl file is zip, a .mid file MIDI; another ending is one sentence and status 2."""
    for name, beginning in (("copy.mxl", b"PK"), ("listen.mid", b"MThd")):
        run = redstave(root, "write", ENTRY, "--out", str(tmp_path / name))
        assert run.returncode == 0, run.stderr
        assert (tmp_path / name).read_bytes().startswith(beginning)
    run = redstave(root, "write", ENTRY, "--out", str(tmp_path / "copy.pdf"))
    assert run.returncode == 2
    assert run.stderr.startswith("redstave: ")
    assert run.stderr.count("\n") == 1


def test_facts_accounts_for_every_element(root: Path) -> None:
    """With --all, facts tells what became of each kind of element, and that none was lost."""
    text = " ".join(redstave(root, "facts", ENTRY, "--all").stdout.split())
    assert "0 were not understood" in text
    assert "in the file in the score reported lost" in text
    assert "note pitch" in text
