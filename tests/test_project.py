"""The rules of the house, held against every file under version control."""

import ast
import re
import stat
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from fnmatch import fnmatch
from importlib.metadata import metadata, packages_distributions
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

import redstave
from tools.list_third_party import page

ROOT = Path(__file__).resolve().parents[1]
CODE = ("src/*.py", "tools/*.py", "benchmarks/*.py", "fuzz/*.py")
LONGEST_FILE = 400
LONGEST_FUNCTION = 40

# Put together here so that this file does not contain what it forbids.
REGISTRY_HOSTS = (
    "py" + "pi.org",
    "python" + "hosted.org",
    "registry." + "npmjs",
    "npm" + "js.com",
    "deb." + "debian.org",
    "crates" + ".io",
    "conda" + ".anaconda",
    "proxy." + "golang",
)
MACHINE_FOLDERS = ("work", "root", "home", "tmp", "opt", "Users")
MACHINE_PATH = re.compile(r"(?<![\w.*\])}>])/(?:" + "|".join(MACHINE_FOLDERS) + r")/")

RESERVED_WORDS = re.compile(
    r"\b(?:lint|rule engine|plug-?in|dashboard|track|mixer|preset)s?\b", re.IGNORECASE
)
PIN = re.compile(r"[a-z0-9][a-z0-9-]*==[0-9][0-9a-z.+]*")
LINK = re.compile(r"(?<!!)\[[^\]]*\]\(([^)#]+)[^)]*\)")


def kept_files() -> list[Path]:
    """Every file under version control that is there."""
    listed = subprocess.run(
        ["git", "ls-files", "-z"], cwd=ROOT, check=True, capture_output=True, text=True
    )
    return [path for name in listed.stdout.split("\0") if name and (path := ROOT / name).is_file()]


def texts(*places: str) -> Iterator[tuple[str, str]]:
    """Name and text of every kept text file that matches one of the patterns (all without any).

    A star in a pattern stands for folders too.
    """
    for path in kept_files():
        name = path.relative_to(ROOT).as_posix()
        if places and not any(fnmatch(name, place) for place in places):
            continue
        data = path.read_bytes()
        if b"\0" not in data:
            yield name, data.decode("utf-8")


def lines_with(pattern: re.Pattern[str], *places: str) -> list[str]:
    """Where a pattern stands, as file:line: text."""
    return [
        f"{name}:{number}: {line.strip()}"
        for name, text in texts(*places)
        for number, line in enumerate(text.splitlines(), 1)
        if pattern.search(line)
    ]


def pins(file: str) -> dict[str, str]:
    """Name and version of every pin of a requirements file, without the files it includes."""
    lines = (ROOT / "requirements" / file).read_text(encoding="utf-8").split("\n")
    pairs = [line.split("==") for line in lines if "==" in line]
    return dict(pairs)


def project() -> dict[str, dict[str, list[str]]]:
    """Return pyproject.toml as read."""
    return tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))


def test_no_registry_host_is_named() -> None:
    """Where packages come from is each user's own affair: no file names a registry's host."""
    assert lines_with(re.compile("|".join(map(re.escape, REGISTRY_HOSTS)))) == []


def test_no_path_of_a_machine_is_named() -> None:
    """No file names an absolute path that exists on one machine only."""
    assert lines_with(MACHINE_PATH) == []


@pytest.mark.parametrize("path", [f'open("/{folder}/x")' for folder in MACHINE_FOLDERS])
def test_a_machine_path_would_be_seen(path: str) -> None:
    """The pattern of machine paths finds one, and leaves web addresses and folders in peace."""
    assert MACHINE_PATH.search(path)
    assert not MACHINE_PATH.search(path.replace('"/', '"docs/'))


def test_files_are_short() -> None:
    """No source file is longer than the house allows."""
    sizes = {name: len(text.splitlines()) for name, text in texts(*CODE)}
    assert "src/redstave/model/score.py" in sizes
    assert {name: size for name, size in sizes.items() if size > LONGEST_FILE} == {}


def code_lines(function: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    """Lines of a function's body, from the first statement after the docstring to the last."""
    body = function.body[1:] if ast.get_docstring(function) else function.body
    return (body[-1].end_lineno or 0) - body[0].lineno + 1 if body else 0


def test_functions_are_short() -> None:
    """No function body is longer than the house allows; a docstring may be as long as it needs."""
    assert [
        f"{name}:{node.lineno} {node.name}"
        for name, text in texts(*CODE)
        for node in ast.walk(ast.parse(text))
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
        and code_lines(node) > LONGEST_FUNCTION
    ] == []


@pytest.mark.parametrize(
    ("lines", "kept"), [(LONGEST_FUNCTION, True), (LONGEST_FUNCTION + 1, False)]
)
def test_a_long_function_would_be_seen(lines: int, kept: bool) -> None:
    """The count of lines leaves out the docstring and nothing else."""
    text = 'def f():\n    """Say.\n\n    More.\n    """\n' + "    x = 1\n" * lines
    function = ast.parse(text).body[0]
    assert isinstance(function, ast.FunctionDef)
    assert (code_lines(function) <= LONGEST_FUNCTION) is kept


def test_reserved_words_stay_out_of_what_users_see() -> None:
    """Words, templates, documentation and README do without the words we do not use."""
    seen = ("README.md", "docs/*.md", "src/*.html", "src/*/wording/*.toml")
    assert lines_with(RESERVED_WORDS, *seen) == []


def test_version_is_stated_once_and_the_same() -> None:
    """The package and the project file state one version."""
    assert project()["project"]["version"] == redstave.__version__


@pytest.mark.parametrize("file", ["run.txt", "build.txt", "dev.txt", "docs.txt"])
def test_pins_are_bare(file: str) -> None:
    """A pin is name==version: no address, no hash, no index option."""
    lines = (ROOT / "requirements" / file).read_text(encoding="utf-8").splitlines()
    bare = [line for line in lines if not re.fullmatch(r"-r (run|build)\.txt", line)]
    assert bare
    assert [line for line in bare if not PIN.fullmatch(line)] == []


def test_pins_meet_what_the_package_asks_for() -> None:
    """Each run-time dependency is pinned to a version that the project file allows."""
    run = pins("run.txt")
    for text in project()["project"]["dependencies"]:
        asked = Requirement(text)
        assert asked.specifier.contains(run[canonicalize_name(asked.name)]), text


def test_one_package_has_one_version() -> None:
    """The pin files agree, so that they can be installed into one environment."""
    everything = [
        pair
        for file in ("run", "build", "dev", "docs")
        for pair in set(pins(f"{file}.txt").items())
    ]
    versions: dict[str, set[str]] = {}
    for name, version in everything:
        versions.setdefault(name, set()).add(version)
    assert {name: found for name, found in versions.items() if len(found) > 1} == {}


def imported(text: str) -> set[str]:
    """The top names of the packages that a module imports."""
    nodes = list(ast.walk(ast.parse(text)))
    names = [name.name for node in nodes if isinstance(node, ast.Import) for name in node.names]
    names += [node.module or "" for node in nodes if isinstance(node, ast.ImportFrom)]
    return {name.split(".")[0] for name in names}


@pytest.mark.parametrize(
    ("place", "files"),
    [
        ("src", ("run",)),
        *((place, ("run", "build", "dev")) for place in ("tests", "tools", "benchmarks", "fuzz")),
    ],
)
def test_what_is_imported_is_pinned(place: str, files: tuple[str, ...]) -> None:
    """The package imports what run.txt pins, tests and tools what dev.txt pins, and no more."""
    owners = packages_distributions()
    pinned = {name for file in files for name in pins(f"{file}.txt")}
    named = {name for _, text in texts(f"{place}/*.py") for name in imported(text)}
    outside = named - sys.stdlib_module_names - {"redstave", "tests", "tools", "benchmarks", "fuzz"}
    assert outside
    assert {
        name
        for name in outside
        if not {canonicalize_name(owner) for owner in owners.get(name, ())} & pinned
    } == set()


def test_third_parties_are_listed_with_their_licences() -> None:
    """THIRD_PARTY.md says what the installed packages' own metadata say."""
    assert (ROOT / "THIRD_PARTY.md").read_text(encoding="utf-8") == page()


def test_our_licence_is_stated() -> None:
    """The installed metadata and the licence file name the same licence."""
    assert metadata("redstave").get_all("License-Expression") == ["Apache-2.0"]
    assert "Apache License" in (ROOT / "LICENSE").read_text(encoding="utf-8")


def test_links_lead_somewhere() -> None:
    """Every link to a file in README, CONTRIBUTING and the documentation has its target."""
    lost = [
        f"{name}: {target}"
        for name, text in texts("*.md")
        for target in LINK.findall(text)
        if "://" not in target and not ((ROOT / name).parent / target).exists()
    ]
    assert lost == []


def test_named_targets_can_be_made() -> None:
    """Every `make` command that a document names exists in the Makefile."""
    made = set(re.findall(r"^([a-z]+):", (ROOT / "Makefile").read_text(encoding="utf-8"), re.M))
    named = {
        word
        for _, text in texts("*.md")
        for word in re.findall(r"(?:^|`)make ([a-z]+)(?=`|\s*#|\s*$)", text, re.M)
    }
    assert {"demo", "test"} <= named
    assert named <= made


def test_notes_on_changes_have_a_known_kind() -> None:
    """Every fragment in changes/ carries one of the kinds that the change log knows."""
    kinds = {kind["directory"] for kind in project()["tool"]["towncrier"]["type"]}
    names = [Path(name).name for name, _ in texts("changes/*.md") if name != "changes/README.md"]
    assert [name for name in names if name.split(".")[-2] not in kinds] == []


def test_ci_runs_what_people_run() -> None:
    """The script that guards a change can be run and calls the make targets people use."""
    script = ROOT / ".ci" / "run"
    assert script.stat().st_mode & stat.S_IXUSR
    assert {"make lint", "make test"} <= set(script.read_text(encoding="utf-8").splitlines())
