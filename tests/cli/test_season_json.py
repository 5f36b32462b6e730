"""The data of a season has the shape that its documentation shows."""

import json
import re
from pathlib import Path
from typing import Any

import pytest

from tests.cli.season_runs import AGAIN, ENTRY, data, run
from tests.test_docs import blocks, fits, shape

PIANO = """\
title: Two Hands
meter: 4/4
tempo: 96 "Andante"
part Piano
p C5/1 | C5/1 | D5/1 | E5/1 |.
"""
CHANGES = '[[change]]\nwho = "Trombone"\nbars = "1-2"\nlevel = "p"\n'


def headings(root: Path) -> list[str]:
    """The headings of the page, one for each shape."""
    text = (root / "docs" / "season-json.md").read_text("utf-8")
    return re.findall(r"^## (.*)$", text, re.MULTILINE)


def worked(place: Path, code: str) -> dict[str, Any]:
    """Work through an entry and return what each command gave, by the first word of its heading."""
    listed = data("remark", "findings", place, code)
    key = next(one["key"] for one in listed if one["slug"] == "pitch-outside-instrument")
    made = data("remark", "accept", place, code, key)
    (place / "softer.toml").write_text(CHANGES, "utf-8")
    found: dict[str, Any] = {"remark findings": data("remark", "findings", place, code)}
    found["remark accept"] = data(
        "remark", "trial", place, code, made["id"], "--changes", place / "softer.toml"
    )
    found["remark phrases"] = data("remark", "phrases", place, code, key)
    found["remark text"] = data("remark", "text", place, code, "opening", "Dear all")
    run("remark", "text", place, code, "opening", "Dear", "--revision", "0")
    found["remark aside"] = data("remark", "aside", place, code)
    for one in data("grade", "show", place, code)["grades"]:
        run("grade", "give", place, code, one["key"], "2")
    run("grade", "lock", place, code)
    run("grade", "give", place, code, "technique", "3", "--reason", "again")
    found["grade show"] = data("grade", "show", place, code)
    found["grade log"] = data("grade", "log", place, code)
    found["phrases list"] = data("phrases", "list", place)
    return found


def lessons(place: Path) -> Any:
    """Two entries with one fault in one bar of their piano piece: what both teach."""
    (place / "piano.tiny").write_text(PIANO, "utf-8")
    (place / "other.tiny").write_text(ENTRY.replace("E5/1 |.", "F5/1 |."), "utf-8")
    run("season", "new", place / "t", "--original", place / "piano.tiny")
    run("season", "add", place / "t", place / "two.tiny", place / "other.tiny")
    data("season", "compute", place / "t")
    return data("season", "lessons", place / "t")


@pytest.fixture(scope="module")
def printed(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    """What the commands print, by the beginning of their heading."""
    place = tmp_path_factory.mktemp("season")
    (place / "two.tiny").write_text(ENTRY, "utf-8")
    (place / "again.tiny").write_text(AGAIN, "utf-8")
    run("season", "new", place / "s", "--criteria", "steps", "--name", "Spring")
    found = {"season add": json.loads(run(
        "season", "add", place / "s", place / "two.tiny", place / "none.xml", "--json"
    ).stdout)}  # fmt: skip
    (code,) = found["season add"]["codes"]
    found["season compute"] = data("season", "compute", place / "s")
    found |= worked(place / "s", code)
    found["season word"] = data(
        "season", "word", place / "s", code, "--role", "Flute, bars 2-3: tune", "--cuts", "3"
    )
    found["season checks"] = data("season", "checks", place / "s")
    run("season", "add", place / "s", place / "again.tiny", "--again", code)
    data("season", "compute", place / "s")
    found["season compare"] = data("season", "compare", place / "s", code, "--carry")
    found["season lessons"] = lessons(place)
    found["season criteria"] = data("season", "criteria", place / "s")
    found["season new"] = data("season", "show", place / "s")
    found["season open"] = data("season", "open", place / "s", "--yes")
    return found


def test_every_shape_is_one_that_is_printed(root: Path, printed: dict[str, Any]) -> None:
    """Each heading has one shape, and each shape was printed."""
    begun = [re.split(r"[,;]", one)[0] for one in headings(root)]
    assert sorted(begun) == sorted(printed)
    assert len(blocks(root / "docs" / "season-json.md", "json")) == len(begun)


@pytest.mark.parametrize("at", range(17))
def test_shape_is_the_one_shown(root: Path, printed: dict[str, Any], at: int) -> None:
    """The keys shown are the keys printed, no more and no fewer."""
    name = re.split(r"[,;]", headings(root)[at])[0]
    shown = shape(json.loads(blocks(root / "docs" / "season-json.md", "json")[at]))
    real = shape(printed[name])
    if name == "season new":  # families are a table whose keys are those that were found
        for one in (*shown["entries"], *real["entries"]):
            one["families"] = None
    assert fits(shown, real), (shown, real)


def test_the_shapes_are_not_empty(printed: dict[str, Any]) -> None:
    """Each list that is compared has something in it where the documentation shows something."""
    for name in ("remark findings", "remark phrases", "remark aside", "grade log", "season checks"):
        assert printed[name], name
    assert printed["season lessons"]["places"]
    assert printed["season compare"]["bars"]
    assert printed["season compare"]["remarks"]
    assert printed["season compare"]["answered"]
    assert printed["remark accept"]["trial"]["heard"]
    assert printed["season add"]["problems"]
    assert printed["grade show"]["total"] is not None
