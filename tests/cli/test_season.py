"""The commands of a season as a teacher types them: what they print, and how they end."""

import subprocess
import sys
from pathlib import Path

import pytest

from redstave.base.errors import InputError
from tests.cli.season_runs import AGAIN, ENTRY, data, run


@pytest.fixture
def place(tmp_path: Path) -> Path:
    """A season with two entries, computed."""
    run("season", "new", tmp_path / "s", "--criteria", "four", "--teacher", "A. Teacher")
    for name, text in (("one.tiny", ENTRY), ("two.tiny", AGAIN)):
        (tmp_path / name).write_text(text, "utf-8")
        run("season", "add", tmp_path / "s", tmp_path / name)
    run("season", "compute", tmp_path / "s")
    return tmp_path / "s"


def codes(place: Path) -> list[str]:
    """The codes of the entries."""
    return [one["code"] for one in data("season", "show", place)["entries"]]


def low(place: Path) -> tuple[str, str]:
    """The code and key of the finding of a note below the flute's compass."""
    for code in codes(place):
        for one in data("remark", "findings", place, code):
            if one["slug"] == "pitch-outside-instrument":
                return code, one["key"]
    raise AssertionError("the flute's C3 was not found")


def test_a_whole_entry_by_commands(place: Path) -> None:
    """From findings to grades and texts, each command does its part and shows it."""
    code, key = low(place)
    assert key[:8] in run("remark", "findings", place, code).stdout
    made = data("remark", "accept", place, code, key[:7], "--main", "--by", "A. T.")
    assert (made["weight"], made["by"]) == ("main", "A. T.")
    assert made["id"] in run("remark", "list", place, code).stdout
    changed = data("remark", "change", place, code, made["id"], "--text", "Up an octave", "--small")
    assert changed["weight"] == "small"
    own = data(
        "remark", "add", place, code, "Good", "--kind", "praise", "--bars", "2", "--staves", "Flute"
    )  # fmt: skip
    run("remark", "order", place, code, own["id"])
    assert [one["id"] for one in data("remark", "list", place, code)] == [own["id"], made["id"]]
    assert len(data("remark", "history", place, code, made["id"])) == 2
    run("remark", "withdraw", place, code, own["id"])
    assert [one["id"] for one in data("remark", "list", place, code)] == [made["id"]]
    for one in data("grade", "show", place, code)["grades"]:
        run("grade", "give", place, code, one["key"], "4")
    assert "total: 80 of 100" in run("grade", "show", place, code).stdout
    run("season", "mark", place, code, "written")
    states = {one["code"]: one["state"] for one in data("season", "show", place)["entries"]}
    assert states[code] == "written"


def test_texts_are_read_from_what_is_piped_in(place: Path) -> None:
    """A text of "-" is what comes in, line breaks and all."""
    code = codes(place)[0]
    run("remark", "text", place, code, "opening", "-", typed="Dear\n\nall\n")
    assert data("remark", "text", place, code, "opening")["text"] == "Dear\n\nall"


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["season", "show", "{place}-not-there"], "season new"),
        (["season", "new", "{place}"], "holds a season already"),
        (["season", "new", "{place}", "--database", "sqlite://"], "holds a season already"),
        (["season", "new", "{place}-2", "--criteria", "nonsense"], "full, four, steps"),
        (["season", "new", "{place}-2", "--original", "none.xml"], "none.xml"),
        (["season", "new", "{place}-2", "--database", "nonsense://"], "database"),
        (["season", "compute", "{place}", "Nobody"], "Nobody"),
        (["season", "open", "{place}"], "--yes"),
        (["grade", "log", "{place}", "Nobody"], "Nobody"),
        (["remark", "accept", "{place}", "{code}", ""], "none of the findings"),
        (["season", "compare", "{place}", "{code}"], "--again"),
        (["season", "checks", "{place}", "--off", "nothing"], "no check"),
        (["season", "checks", "{place}", "--move", "tune-covered"], "least_chance=0.8"),
        (["season", "checks", "{place}", "--back", "tune-covered.x"], "least_chance"),
        (["season", "copy", "{place}", "{place}"], "name a folder that is not there"),
        (["remark", "accept", "{place}", "{code}", "zzz"], "remark findings"),
        (
            ["remark", "accept", "{place}", "{code}", "a", "--text", "x", "--phrase", "y"],
            "not both",
        ),
        (["remark", "add", "{place}", "{code}", "x"], "--kind"),
        (["remark", "change", "{place}", "{code}", "none", "--text", "x"], "remark list"),
        (["remark", "trial", "{place}", "{code}", "none", "--changes", "no.toml"], "no.toml"),
        (["grade", "give", "{place}", "{code}", "beauty", "3"], "beauty"),
        (["grade", "give", "{place}", "{code}", "page", "30"], "0 to 5"),
        (["grade", "lock", "{place}", "{code}"], "wait for points"),
        (["phrases", "add", "{place}", "a", "{{x}}", "--kind", "fix"], "leaves {x} open"),
        (["phrases", "remove", "{place}", "a"], "phrases list"),
        (["phrases", "import", "{place}", "no.txt"], "no.txt"),
        (["phrases", "export", "{place}", "no/such/folder/x"], "choose another"),
    ],
)
def test_what_cannot_be_used_is_one_sentence(place: Path, words: list[str], told: str) -> None:
    """Nonsense is refused in one line, and the season is as it was."""
    before = data("season", "show", place)
    code = codes(place)[0]
    result = run(*(word.format(place=place, code=code) for word in words))
    assert isinstance(result.exception, InputError)
    assert told in str(result.exception)
    assert "\n" not in str(result.exception)
    assert data("season", "show", place) == before
    assert not Path(f"{place}-2").exists()


def test_a_stale_text_is_refused_with_what_stands_there(place: Path) -> None:
    """Who changes an old revision is told what it now says; his own words can be read again."""
    code = codes(place)[0]
    run("remark", "text", place, code, "opening", "Dear all")
    result = run("remark", "text", place, code, "opening", "Mine", "--revision", "0")
    assert "Dear all" in str(result.exception)
    assert "Mine" in run("remark", "aside", place, code).stdout


def test_exit_statuses(place: Path, tmp_path: Path, root: Path) -> None:
    """0 for what was done, 2 for what could not be, also where only a part of it failed."""

    def status(*words: object) -> "subprocess.CompletedProcess[str]":
        code = "from redstave.cli import main; main()"
        return subprocess.run(
            [sys.executable, "-c", code, *map(str, words)],
            capture_output=True,
            text=True,
            cwd=root,
            check=False,
        )

    assert status("season", "show", place).returncode == 0
    (tmp_path / "three.tiny").write_text(ENTRY.replace("E5/1", "F5/1"), "utf-8")
    (tmp_path / "bad.xml").write_text("nothing", "utf-8")
    some = status("season", "add", place, tmp_path / "three.tiny", tmp_path / "bad.xml")
    assert some.returncode == 2
    assert "bad.xml" in some.stderr
    assert len(codes(place)) == 3
    none = status("grade", "show", place, "Nobody")
    assert none.returncode == 2
    assert "Traceback" not in none.stderr
    assert len(none.stderr.strip().splitlines()) == 1


def test_opening_and_copying(place: Path, tmp_path: Path) -> None:
    """Opened, a season shows file names; a copy is a season of its own."""
    assert "one.tiny" not in run("season", "show", place).stdout
    assert "one.tiny" in run("season", "open", place, "--yes").stdout
    assert "one.tiny" in run("season", "show", place).stdout
    run("season", "copy", place, tmp_path / "copy")
    assert data("season", "show", tmp_path / "copy") == data("season", "show", place)


def test_criteria_can_be_changed_and_the_log_keeps_the_old(place: Path) -> None:
    """Points stay with the criterion of the same key; what is gone is no part of the total."""
    code = codes(place)[0]
    run("grade", "give", place, code, "page", "4")
    assert "Four equal criteria" in run("season", "criteria", place).stdout
    run("season", "criteria", place, "--take", "full")
    points = {one["key"]: one["points"] for one in data("grade", "show", place, code)["grades"]}
    assert points["page"] == 4
    assert "character" not in points
    assert isinstance(run("season", "criteria", place, "--take", "none").exception, InputError)
    assert data("season", "criteria", place)["name"] == "Ten criteria"


def test_phrases_go_out_and_come_in(place: Path, tmp_path: Path) -> None:
    """A phrase added is listed, exported, removed, and comes back by import."""
    run("phrases", "add", place, "mine", "{bars}?", "Really?", "--kind", "question", "--checks",
        "tune-covered, nested-arcs")  # fmt: skip
    (mine,) = data("phrases", "list", place, "--find", "really")
    assert mine["checks"] == ["tune-covered", "nested-arcs"]
    run("phrases", "export", place, tmp_path / "book.txt")
    run("phrases", "remove", place, "mine")
    assert data("phrases", "list", place, "--find", "really") == []
    run("phrases", "import", place, tmp_path / "book.txt")
    assert data("phrases", "list", place, "--find", "really") == [mine]
