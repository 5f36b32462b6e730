"""The tutorial, typed from beginning to end as it stands: every command does what it says."""

import json
import re
import shlex
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from redstave.app import demo_season
from redstave.app.demo_entry import copy_demo
from redstave.cli.commands import commands
from tests.test_docs import ROOT, blocks

TUTORIAL = ROOT / "docs" / "tutorial.md"
#: What is shown but is no command of ours, or goes on until it is stopped.
OTHERS = re.compile(r"make |\. \.venv|redstave (desk|--help)")


def typed(*words: str) -> Result:
    """Run a command in the folder one stands in."""
    return CliRunner().invoke(commands, list(words), standalone_mode=False)


def said(*words: str) -> str:
    """Run a command that must succeed, and return what it prints."""
    result = typed(*words)
    assert result.exception is None, (words, result.exception)
    assert not result.return_value, (words, result.output)
    return result.stdout


class Screen:
    """What a reader of the tutorial sees on his own screen: codes and keys to type further."""

    def __init__(self) -> None:
        self._used: set[str] = set()

    def code(self) -> str:
        """Return the code name of an entry of the season that the reader has made."""
        entries = json.loads(said("season", "show", "autumn", "--json"))["entries"]
        return str(entries[0]["code"])

    def key(self) -> str:
        """Return the key of an open finding, shortened, another one each time."""
        place = ("remark", "findings", "demo-out/season", "Sorrel", "--json")
        found = json.loads(said(*place))
        key = next(
            one["key"]
            for one in found
            if one["decision"] == "open"
            and one["kind"] != "credit"
            and one["key"] not in self._used
        )
        self._used.add(key)
        return str(key[:10])


def lines() -> list[str]:
    """The commands of the tutorial in their order."""
    every = [line for text in blocks(TUTORIAL, "sh") for line in text.splitlines()]
    return [line for line in every if line.strip() and not OTHERS.match(line)]


def expanded(words: list[str]) -> list[str]:
    """Words with the names of files in place of patterns, as a shell gives them."""
    found: list[str] = []
    for word in words:
        found += sorted(map(str, Path().glob(word))) if "*" in word else [word]
    return found


def test_every_command_of_the_tutorial_works(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """In order, on the scores of the demonstration, each command ends well and nothing is left."""
    monkeypatch.chdir(tmp_path)
    entry, _ = copy_demo(Path("demo-out"))
    demo_season.lay_out(Path("demo-out/season"))
    second = entry.read_text("utf-8").replace("<actual-notes>", "<actual-notes> ")
    Path("SECOND.musicxml").write_text(second.replace("1. solo", "1. Solo"), "utf-8")
    screen = Screen()
    assert len(lines()) > 25
    for line in lines():
        words = expanded(shlex.split(line, comments=True))
        assert words.pop(0) == "redstave", line
        now = {"CODE": screen.code, "KEY": screen.key}
        said(*(now[word]() if word in now else word for word in words))
    assert {path.suffix for path in Path("letters").iterdir()} >= {".html", ".pdf", ".vtt", ".csv"}
    assert "entry-juniper.html" in {path.name for path in Path("letter").iterdir()}
    assert json.loads(said("season", "show", "autumn", "--json"))["blind"] is False
