"""The wheel that `pip install .` makes: complete, and enough without the development tools."""

import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]

# Hides every installed distribution that is not named, then imports every module of the wheel.
IMPORT_ALL = """
import importlib, pkgutil, sys
from importlib.metadata import packages_distributions
folder, *named = sys.argv[1:]
hidden = {
    package
    for package, owners in packages_distributions().items()
    if not {owner.lower().replace("_", "-") for owner in owners} & {"redstave", *named}
}

class Hide:
    def find_spec(self, name, path=None, target=None):
        if name.split(".")[0] in hidden:
            raise ModuleNotFoundError(f"{name} is not there at run time", name=name)

sys.meta_path.insert(0, Hide())
sys.path.insert(0, folder)
import redstave
assert redstave.__file__.startswith(folder), redstave.__file__
for module in pkgutil.walk_packages(redstave.__path__, "redstave."):
    if not module.name.endswith(("__main__", ".migrations.env")):  # the latter runs in Alembic
        importlib.import_module(module.name)
print(len(hidden))
"""

HELP = """
import sys
sys.path.insert(0, sys.argv.pop(1))
from redstave.cli import main
sys.argv = ["redstave", "--help"]
main()
"""


def alone(code: str, folder: Path, *words: str) -> str:
    """Run code on the unpacked wheel, in a process that knows nothing of this folder."""
    done = subprocess.run(
        [sys.executable, "-I", "-c", code, str(folder), *words],
        cwd=folder,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A wheel built from this folder."""
    out = tmp_path_factory.mktemp("wheel")
    command = [sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", str(out)]
    done = subprocess.run([*command, str(ROOT)], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return next(out.glob("redstave-*.whl"))


@pytest.fixture(scope="module")
def unpacked(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel's files in a folder of their own."""
    folder = tmp_path_factory.mktemp("unpacked")
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(folder)
    return folder


def test_wheel_holds_every_file_of_the_package(wheel: Path) -> None:
    """Code, data, templates and demonstration: whatever is kept under src/redstave is in it."""
    listed = subprocess.run(
        ["git", "ls-files", "src/redstave"], cwd=ROOT, capture_output=True, text=True, check=True
    )
    kept = {name.removeprefix("src/") for name in listed.stdout.split() if (ROOT / name).exists()}
    with zipfile.ZipFile(wheel) as archive:
        assert kept - set(archive.namelist()) == set()


def test_wheel_holds_nothing_but_the_package(wheel: Path) -> None:
    """No test, tool or document is installed into a user's environment."""
    with zipfile.ZipFile(wheel) as archive:
        tops = {name.split("/")[0] for name in archive.namelist()}
    assert {top for top in tops if not top.endswith(".dist-info")} == {"redstave"}


def test_wheel_carries_command_and_licence(wheel: Path) -> None:
    """The `redstave` command is declared and the licence text comes along."""
    with zipfile.ZipFile(wheel) as archive:
        names = {name.split(".dist-info/")[-1]: name for name in archive.namelist()}
        assert b"redstave = redstave.cli:main" in archive.read(names["entry_points.txt"])
        assert b"Apache License" in archive.read(names["licenses/LICENSE"])


def test_command_of_the_wheel_answers(unpacked: Path) -> None:
    """The unpacked wheel's command says what it can do."""
    assert "review" in alone(HELP, unpacked)


def test_wheel_needs_run_time_packages_only(unpacked: Path) -> None:
    """Every module imports where only what requirements/run.txt pins is installed."""
    lines = (ROOT / "requirements" / "run.txt").read_text(encoding="utf-8").split()
    hidden = int(alone(IMPORT_ALL, unpacked, *(line.split("==")[0] for line in lines)))
    assert hidden > 0
