"""The face for other programs: exactly what docs/library.md says, and its examples run."""

import importlib
import inspect
import re
import subprocess
import sys
from pathlib import Path

import pytest

import redstave
from redstave import acoustics, instruments
from redstave.base.errors import InputError

PAGE = Path(__file__).resolve().parents[1] / "docs" / "library.md"
TEXT = PAGE.read_text(encoding="utf-8")
HEADING = re.compile(r"^### ([\w.]+)\(([^)]*)\)$", re.MULTILINE)
EXAMPLES = re.findall(r"^```python\n(.*?)^```", TEXT, re.MULTILINE | re.DOTALL)


def test_the_public_face_is_what_is_documented() -> None:
    """Each function of the face has its heading on the page, and no other has one."""
    face = {f"redstave.{name}" for name in redstave.__all__ if name != "__version__"}
    face |= {f"redstave.acoustics.{name}" for name in acoustics.__all__}
    face |= {"redstave.instruments.emission"}
    assert {name for name, _ in HEADING.findall(TEXT)} == face


@pytest.mark.parametrize(("name", "shown"), HEADING.findall(TEXT))
def test_the_parameters_are_those_shown(name: str, shown: str) -> None:
    """A heading gives the function's parameters in order; the text gives every default."""
    module, _, function = name.rpartition(".")
    parameters = inspect.signature(getattr(importlib.import_module(module), function)).parameters
    assert shown.split(", ") == list(parameters)
    section = TEXT.split(f"### {name}(")[1].split("\n### ")[0]
    for parameter in parameters.values():
        if parameter.default is not inspect.Parameter.empty:
            default = str(parameter.default)
            if isinstance(parameter.default, str):
                default = f'"{parameter.default}"'
            assert f"{parameter.name}={default}" in section


@pytest.mark.parametrize("number", range(len(EXAMPLES)))
def test_the_examples_run(
    number: int, root: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Each example of the page runs as it stands and prints numbers."""
    monkeypatch.chdir(root / "src/redstave/app/demo")
    exec(compile(EXAMPLES[number], str(PAGE), "exec"), {"__name__": "example"})
    assert re.search(r"\d", capsys.readouterr().out)


def test_the_documented_columns_are_there(root: Path) -> None:
    """Every attribute in the table of an analysis exists; arrays have one entry a row or slice."""
    analysis = redstave.analyse(redstave.read(root / "src/redstave/app/demo/orchestra.musicxml"))
    cells = re.findall(r"^\| (`[a-z].*?) \| (tuple|slices|rows)", TEXT, re.MULTILINE)
    assert len(cells) >= 9
    sizes = {
        "slices": analysis.hearing.slices.start.size,
        "rows": analysis.hearing.slices.row_slice.size,
        "tuple": None,
    }
    for names, shape in cells:
        first, *others = re.findall(r"`\.?([\w.]+)`", names)
        above = first.rpartition(".")[0]
        for name in (first, *(other if "." in other else f"{above}.{other}" for other in others)):
            value = analysis
            for step in name.split("."):
                value = getattr(value, step)
            assert sizes[shape] in {None, len(value)}, name


def test_importing_the_package_is_light() -> None:
    """Importing `redstave` imports neither numpy nor lxml; its names work all the same."""
    code = (
        "import sys, redstave; assert not {'numpy', 'lxml', 'scipy'} & sys.modules.keys();"
        "redstave.read; redstave.analyse; print(*dir(redstave))"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.split() == sorted(redstave.__all__)
    with pytest.raises(AttributeError, match="no attribute 'mixdown'"):
        _ = redstave.mixdown


def test_marks_and_ids_stand_for_numbers_and_records() -> None:
    """An instrument by id and a level by mark give what the record and the number give."""
    horn = instruments.load()["horn"]
    by_name = instruments.emission("horn", 60, "f", "stopped", 2)
    by_record = instruments.emission(horn, 60, 6, "stopped", 2)
    assert all((one == other).all() for one, other in zip(by_name, by_record, strict=True))


def test_unknown_names_are_told(root: Path) -> None:
    """A name that is not known is an InputError that says which there are."""
    with pytest.raises(InputError, match="cor-anglais"):
        instruments.emission("cor anglais", 60, "f")
    with pytest.raises(InputError, match="ppp"):
        instruments.emission("horn", 60, "ffff")
    score = redstave.read(root / "src/redstave/app/demo/orchestra.musicxml")
    for wrong in ({"hall": "cellar"}, {"seat": "roof"}, {"forces": "many"}, {"players": "robots"}):
        with pytest.raises(InputError):
            redstave.analyse(score, **wrong)
