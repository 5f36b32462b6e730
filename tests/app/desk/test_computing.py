"""Computing in the background: limits, stopping at any moment, going on with what is missing."""

import json
import shutil
import sys
import time
from collections.abc import Iterator, Sequence
from pathlib import Path

import pytest

from redstave import store
from redstave.app import seasons
from redstave.app.desk.computing import STOPPED, Allowance, Computing, command_for
from redstave.base.errors import InputError
from redstave.reading.tiny import to_musicxml
from redstave.store import Season
from tests.app.season_entry import FIRST, SECOND

PATIENCE_S = 60.0


CODES = ("Agate", "Linnet", "Thrush")


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Make a season of three small entries that were computed once; return its folder."""
    folder = tmp_path_factory.mktemp("computing") / "season"
    with seasons.new_season(folder) as season:
        for code, tiny in zip(CODES, (FIRST, SECOND, FIRST.replace("C5/1", "G4/1")), strict=True):
            kept = store.keep_bytes(season, to_musicxml(tiny))
            store.add_version(season, code, kept, ".musicxml", f"{code}.musicxml")
        seasons.compute(season)
    return folder


@pytest.fixture
def season(made: Path, tmp_path: Path) -> Iterator[Season]:
    """A copy of it, to write into."""
    shutil.copytree(made, tmp_path / "season")
    with seasons.open_season(tmp_path / "season") as one:
        yield one


def waited(computing: Computing) -> Computing:
    """Wait until nothing runs."""
    end = time.monotonic() + PATIENCE_S
    while computing.progress.running and time.monotonic() < end:
        time.sleep(0.02)
    assert not computing.progress.running
    return computing


def script(text: str) -> list[str]:
    """Return the command of a child that is a few lines of Python of the test's own."""
    return [sys.executable, "-c", f"import json, sys, time\ncodes = sys.argv[1:]\n{text}"]


def says(**words: str) -> str:
    """Return a line of Python that says something as a child does."""
    return f"print({json.dumps(json.dumps(words))}, flush=True)"


def moved(season: Season) -> None:
    """Move a threshold, so that every entry is to be computed anew."""
    seasons.move(season, "tune-covered", "least_chance", 0.9)


def test_entries_are_computed_and_kept(season: Season) -> None:
    """What was to be computed anew is up to date afterwards, read by another process."""
    moved(season)
    assert not seasons.is_up_to_date(season, "Agate")
    computing = Computing(season.folder)
    computing.start(["Agate", "Linnet"])
    assert waited(computing).progress.done == ("Agate", "Linnet")
    assert computing.progress.ended == "done"
    assert seasons.is_up_to_date(season, "Agate")
    assert not seasons.is_up_to_date(season, "Thrush")


def test_what_is_up_to_date_is_left_alone(season: Season) -> None:
    """A second run makes no second review."""
    before = store.newest_review(season, "Agate")
    assert before is not None
    computing = Computing(season.folder)
    computing.start(["Agate"])
    assert waited(computing).progress.up_to_date == ("Agate",)
    after = store.newest_review(season, "Agate")
    assert after is not None
    assert after.id == before.id


def test_stopping_keeps_what_was_done(season: Season) -> None:
    """Stopped in the middle, the finished entries are kept and the next run does the others."""
    moved(season)
    computing = Computing(season.folder)
    computing.start(CODES)
    end = time.monotonic() + PATIENCE_S
    while not computing.progress.done and time.monotonic() < end:
        time.sleep(0.005)
    stopped = computing.stop()
    assert stopped.ended == "stopped"
    assert stopped.left
    assert all(seasons.is_up_to_date(season, code) for code in stopped.done)
    again = Computing(season.folder)  # as after a restart of the desk
    again.start(CODES)
    waited(again)
    assert set(stopped.done) <= set(again.progress.up_to_date)
    assert all(seasons.is_up_to_date(season, one.code) for one in store.read_entries(season))


def test_an_entry_that_wants_too_much_memory_is_told(season: Season) -> None:
    """With next to no memory the entry fails in a sentence; nothing is written for it."""
    moved(season)
    before = store.newest_review(season, "Linnet")
    computing = Computing(season.folder, Allowance(megabytes=150))
    computing.start(["Linnet"])
    (failed,) = waited(computing).progress.failed
    assert failed[0] == "Linnet"
    assert failed[1]
    after = store.newest_review(season, "Linnet")
    assert before is not None
    assert after is not None
    assert after.id == before.id


def test_a_child_that_dies_takes_one_entry_with_it(tmp_path: Path) -> None:
    """The entry at hand has failed, the next child goes on with the others."""
    lines = ";".join(
        (
            'bad = "B" in codes and codes[0] != "C"',
            says(code="A", done="reviewed"),
            says(code="B", step="hearing"),
            "sys.exit(9)",
        )
    )
    after = "print(json.dumps({'code': 'C', 'done': 'reviewed'}), flush=True)"

    def command(_: Path, __: Allowance, codes: Sequence[str]) -> list[str]:
        return script(lines if "B" in codes else after) + list(codes)

    computing = Computing(tmp_path, command=command)
    computing.start(["A", "B", "C"])
    now = waited(computing).progress
    assert now.done == ("A", "C")
    assert now.failed == (("B", STOPPED),)


def test_a_child_that_says_nothing_does_not_run_for_ever(tmp_path: Path) -> None:
    """Where every child dies at once each entry is told as failed, once."""
    computing = Computing(tmp_path, command=lambda *_: script("sys.exit(1)"))
    computing.start(["A", "B"])
    assert [code for code, _ in waited(computing).progress.failed] == ["A", "B"]


def test_entries_asked_for_meanwhile_come_after(tmp_path: Path) -> None:
    """What is asked for while something runs is done by the next child, and nothing twice."""
    text = "time.sleep(1)\nfor c in codes: print(json.dumps({'code': c, 'done': 'reviewed'}))"
    computing = Computing(tmp_path, command=lambda _, __, codes: script(text) + list(codes))
    computing.start(["A"])
    computing.start(["B", "A"])
    assert waited(computing).progress.done == ("A", "B")


def test_nothing_to_compute_is_told(tmp_path: Path) -> None:
    """An empty request is refused in a sentence."""
    with pytest.raises(InputError, match="nothing to compute"):
        Computing(tmp_path).start([])


def test_the_command_holds_no_word_that_is_run(tmp_path: Path) -> None:
    """Folder and code names are arguments of a fixed command; no shell ever reads them."""
    command = command_for(tmp_path / "a; rm -rf", Allowance(), ["B $(x)"])
    assert command[1:4] == ["-P", "-m", "redstave.app.desk.computing_child"]
    assert command[4] == str(tmp_path / "a; rm -rf")
    assert command[-1] == "B $(x)"
