"""`redstave try` as a teacher types it: once as a process of its own, else within this one."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

import pytest

from redstave.cli import main
from tests.cli.test_commands import ENTRY, redstave

DEMO = str(Path(__file__).resolve().parents[2] / ENTRY)


class Run(NamedTuple):
    """How a command ended and what it printed."""

    returncode: int
    stdout: str
    stderr: str


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Callable[..., Run]:
    """Run the command in this process."""

    def words(*typed: str) -> Run:
        monkeypatch.setattr("sys.argv", ["redstave", *typed])
        with pytest.raises(SystemExit) as end:
            main()
        return Run(int(end.value.code or 0), *capsys.readouterr())

    return words


HORNS = ["try", DEMO, "--bars", "14-16", "--who", "Horns"]
FLUTE = ["try", DEMO, "--bars", "14-16", "--help-heard", "Flute 1"]


def test_a_trial_shows_before_and_after(root: Path) -> None:
    """The change is said in words, then each line stands with state, margin and doubt twice."""
    run = redstave(root, *HORNS, "--level", "p")
    assert run.returncode == 0, run.stderr
    said, *table = run.stdout.splitlines()
    assert said == "Mark Horn in F 1. 2 p in bars 14–16."  # the others rest there
    flute = next(row for row in table if row.startswith("Flute 1"))
    assert sum(flute.count(state) for state in ("heard", "doubtful", "covered")) == 2
    assert flute.count("±") == 2
    assert "The ear and the rehearsal decide." in " ".join(run.stdout.split())


@pytest.mark.parametrize(
    "words",
    [
        ["--level", "-2"],
        ["--players", "2", "--technique", "mute"],
        ["--octave", "-1"],
        ["--as", "Bassoon", "--octave", "-1"],
        ["--without"],
        ["--level", "pp", "--forces", "8.7.5.4.3", "--hall", "default", "--tail"],
    ],
)
def test_every_kind_of_change_can_be_asked_for(run: Callable[..., Run], words: list[str]) -> None:
    """Each option gives one JSON document whose lines have a before or an after."""
    done = run(*HORNS, *words, "--json")
    assert done.returncode == 0, done.stderr
    data = json.loads(done.stdout)
    assert data["changes"]["each"]
    assert all(line["before"] or line["after"] for line in data["lines"])


def test_changes_from_a_file_add_to_the_options(run: Callable[..., Run], tmp_path: Path) -> None:
    """A file of changes is made together with what the options ask for."""
    path = tmp_path / "changes.toml"
    path.write_text('[[change]]\nwho = "strings"\nbars = "14-16"\nlevel = -1\n', encoding="utf-8")
    done = run(*HORNS, "--level", "p", "--changes", str(path), "--json")
    assert done.returncode == 0, done.stderr
    assert len(json.loads(done.stdout)["changes"]["each"]) == 2


def test_help_finds_what_was_planted(run: Callable[..., Run]) -> None:
    """The buried flute of the demo is brought out, with margins before and after and ±."""
    done = run(*FLUTE)
    assert done.returncode == 0, done.stderr
    text = " ".join(done.stdout.split())
    assert "Flute 1, bars 14–16: ◐ doubtful" in text
    assert "• Mark " in text
    assert "the margin of Flute 1 rises from " in text
    data = json.loads(run(*FLUTE, "--json").stdout)
    (helped,) = data["helped"]
    assert 1 <= len(helped["ways"]) <= 3
    assert all(way["after"]["state"] == "heard" for way in helped["ways"])


def test_help_for_tunes_looks_through_the_score(run: Callable[..., Run]) -> None:
    """Asked for tunes, every covered tune is found; the demo has the one that was planted."""
    data = json.loads(run("try", DEMO, "--help-heard", "tunes", "--json").stdout)
    assert [(one["line"], one["first_bar"]) for one in data["helped"]] == [("Flute 1", 14)]


def test_what_is_heard_needs_no_help(run: Callable[..., Run]) -> None:
    """A line that is heard as it stands is told so."""
    done = run("try", DEMO, "--bars", "14-16", "--help-heard", "Double Bass")
    assert done.returncode == 0, done.stderr
    assert "It is heard as it stands." in done.stdout


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["try", DEMO], "say what to try"),
        (["try", DEMO, "--bars", "14-16", "--level", "p"], "say who is meant"),
        (["try", DEMO, "--who", "Horns", "--level", "p"], "which bars"),
        (HORNS, "say what Horns should do"),
        ([*HORNS, "--level", "loud"], '"loud" is not a level'),
        (["try", DEMO, "--bars", "14", "--who", "Kazoo", "--level", "p"], "Violin I, Violin II"),
        (["try", DEMO, "--bars", "14", "--who", "Horn", "--level", "p"], "Horn in F 4"),
        (["try", DEMO, "--bars", "1-2", "--who", "Tuba", "--without"], "alters nothing"),
        (["try", DEMO, "--changes", "no-such.toml"], "no-such.toml"),
        ([*FLUTE, "--level", "p"], "--help-heard looks for changes itself"),
        (["try", DEMO, "--help-heard", "Flute 1"], "in which bars"),
        (["try", DEMO, "--bars", "14", "--help-heard", "Horns"], "several lines"),
    ],
)
def test_what_cannot_be_tried_is_told_in_one_sentence(
    run: Callable[..., Run], words: list[str], told: str
) -> None:
    """Nonsense gives one line on standard error, exit status 2, and no traceback."""
    done = run(*words)
    assert done.returncode == 2
    assert told in done.stderr
    assert len(done.stderr.strip().splitlines()) == 1
