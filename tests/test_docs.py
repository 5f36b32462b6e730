"""The documentation, held against the program: what it shows is what there is."""

import json
import re
import tomllib
from pathlib import Path
from typing import Any

import click
import pytest

from redstave import app
from redstave.checks.registry import HEADINGS, Check
from redstave.cli.commands import commands

ROOT = Path(__file__).resolve().parents[1]
PAGES = [ROOT / "README.md", ROOT / "CONTRIBUTING.md", *sorted((ROOT / "docs").rglob("*.md"))]
BLOCK = re.compile(r"^```(\w+)\n(.*?)^```", re.MULTILINE | re.DOTALL)

COMMANDS = [
    "facts",
    "review",
    "hear",
    "tune",
    "origin",
    "try",
    "try for a line",
    "players",
    "stand",
]

# One flute, at first below its compass, over a louder trombone.
ENTRY = """\
title: Two Players
meter: 4/4
tempo: 96 "Andante"
part Flute
p C3/1 | C5/1 | D5/2 E5 | F5/4 E5 D5 C5 | G5/2 E5 | A5/4 G5 F5 D5 | E5/2 D5 | C5/1 |.
part Trombone | clef=bass
ff C3/1 | C3/1 | G2/1 | D3/2 G2 | C3/1 | F2/1 | G2/1 | C3/1 |.
"""

# The piano piece they play, with one tone they leave out.
ORIGINAL = """\
title: Two Players
meter: 4/4
tempo: 96 "Andante"
part Piano | staves=2
p C5/1 // C3/1 | [C5 A5]/1 // C3/1 | D5/2 E5 // G2/1 | F5/4 E5 D5 C5 // D3/2 G2 |
p G5/2 E5 // C3/1 | A5/4 G5 F5 D5 // F2/1 | E5/2 D5 // G2/1 | C5/1 // C3/1 |.
"""


def blocks(page: Path, language: str) -> list[str]:
    """The fenced blocks of one language on a page."""
    return [
        text for kind, text in BLOCK.findall(page.read_text(encoding="utf-8")) if kind == language
    ]


def shown_commands() -> list[str]:
    """Every command line shown that calls redstave, without its path."""
    lines = [line for page in PAGES for text in blocks(page, "sh") for line in text.splitlines()]
    return [
        line.split("redstave ", 1)[1] for line in lines if re.match(r"(\S*/)?redstave \w", line)
    ]


def every_command() -> dict[str, click.Command]:
    """Every command by its name; those of a group are called "season new"."""
    found: dict[str, click.Command] = {}
    context = click.Context(commands)
    for name in commands.list_commands(context):
        command = commands.get_command(context, name)
        assert command is not None, name
        below = command.commands.items() if isinstance(command, click.Group) else ()
        found |= {f"{name} {second}": one for second, one in below} or {name: command}
    return found


@pytest.mark.parametrize("line", shown_commands())
def test_shown_command_exists(line: str) -> None:
    """A command line in the documentation names a command and options that exist."""
    words = line.split("#")[0].split()
    known = every_command()
    command = known[words[0] if words[0] in known else " ".join(words[:2])]
    options = {
        option
        for parameter in command.params
        for option in (*parameter.opts, *parameter.secondary_opts)
    }
    assert [word for word in words if word.startswith("--") and word not in options] == []


@pytest.mark.parametrize("name", sorted(every_command()))
def test_command_is_shown(name: str) -> None:
    """Every command, and every option of it, stands somewhere in the documentation."""
    text = "\n".join(page.read_text(encoding="utf-8") for page in PAGES)
    assert re.search(rf"redstave {name}\b|make {name}\b", text)
    options = [one.opts[0] for one in every_command()[name].params if isinstance(one, click.Option)]
    assert [option for option in options if option not in text] == []


def shape(value: Any) -> Any:
    """Keys and nesting of a JSON value; a list has the shape of its first element."""
    if isinstance(value, dict):
        return {key: shape(below) for key, below in value.items()}
    if isinstance(value, list):
        return [shape(value[0])] if value else []
    return None


def fits(shown: Any, real: Any) -> bool:
    """Tell whether two shapes agree; an empty list agrees with any list."""
    if isinstance(shown, dict) and isinstance(real, dict):
        return shown.keys() == real.keys() and all(fits(shown[key], real[key]) for key in shown)
    if isinstance(shown, list) and isinstance(real, list):
        return not shown or not real or fits(shown[0], real[0])
    return shown is None and real is None


@pytest.fixture(scope="module")
def printed(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    """What the commands give for a small entry, by command, in the order of docs/json.md."""
    path = tmp_path_factory.mktemp("entry") / "two.tiny"
    path.write_text(ENTRY, encoding="utf-8")
    piano = path.with_name("piano.tiny")
    piano.write_text(ORIGINAL, encoding="utf-8")
    analysis = app.with_original(app.open_entry(path), piano)
    done = app.review(analysis, path.stem, app.choose())
    return {
        "facts": app.facts(analysis),
        "review": app.review_json(done, analysis),
        "hear": app.hear(analysis),
        "tune": app.tune(analysis),
        "origin": app.origin(analysis),
        "try": app.try_changes(analysis, [app.Request(who="Trombone", bars="1-2", level="p")]),
        "try for a line": app.help_heard(analysis, "Flute", "2"),
        "players": app.players(analysis),
        "stand": app.stand(analysis, "Flute"),
    }


@pytest.mark.parametrize(("place", "name"), list(enumerate(COMMANDS)))
def test_json_has_the_shape_shown(printed: dict[str, Any], place: int, name: str) -> None:
    """The keys shown for a command are the keys it prints, no more and no fewer."""
    shown = json.loads(blocks(ROOT / "docs" / "json.md", "json")[place])
    real = json.loads(json.dumps(printed[name], allow_nan=False))
    assert fits(shape(shown), shape(real)), (shape(shown), shape(real))


def test_the_small_entry_shows_something(printed: dict[str, Any]) -> None:
    """The entry behind the shapes has findings, parts and lines to compare."""
    assert printed["review"]["findings"]
    assert printed["facts"]["parts"]
    assert printed["hear"]["lines"]
    assert printed["tune"]["spans"]
    assert all(printed["origin"][key] for key in ("bars", "carried", "left_out", "sections"))
    assert printed["try"]["changes"]["each"]
    assert printed["try for a line"]["helped"][0]["ways"]


def test_worked_example_of_a_check_works(tmp_path: Path) -> None:
    """The check shown in CONTRIBUTING.md fires on the fault it names and on nothing else."""
    page = ROOT / "CONTRIBUTING.md"
    space: dict[str, Any] = {"__name__": "redstave.checks.notation.mute_left_on"}
    exec(compile(blocks(page, "python")[0], str(page), "exec"), space)
    (check,) = (value for value in space.values() if isinstance(value, Check))
    assert (check.slug, check.family) == ("mute-left-on", "notation")
    assert [heading for heading in HEADINGS if heading not in check.text] == []
    for ending, bars in (('"senza sord."', []), ("", [2])):
        path = tmp_path / "mute.tiny"
        path.write_text(f'part Viola\n"con sord." C4/1 | {ending} C4 |.\n', encoding="utf-8")
        findings = check.judge(app.open_entry(path), check.limits({}))
        assert [finding.evidence[0].value for finding in findings] == bars


def test_worked_example_of_words_is_complete() -> None:
    """The words shown in CONTRIBUTING.md have the entries that the words of every check have."""
    shown = tomllib.loads(blocks(ROOT / "CONTRIBUTING.md", "toml")[0])["mute-left-on"]
    files = (ROOT / "src" / "redstave" / "render" / "wording").glob("*.toml")
    real = [words for file in files for words in tomllib.loads(file.read_text("utf-8")).values()]
    assert real
    assert all(shown.keys() == words.keys() for words in real)
