"""Run every measuring script of a folder and write its tables on one page.

A script is a module with a docstring (its first line becomes the heading) and a function
`table() -> str` that measures something and returns Markdown. By default the scripts of
`tools/evidence` are run and `docs/evidence.md` is written; `make bench` prints those of
`benchmarks`.

    .venv/bin/python -m tools.make_evidence [NAME …] [--folder FOLDER] [--out FILE | --out -]
"""

import argparse
import importlib.util
import inspect
import sys
import time
from collections.abc import Collection
from pathlib import Path
from types import ModuleType

ROOT = Path(__file__).resolve().parents[1]

HEAD = """\
# Evidence

What Redstave computes, held against things its authors did not write: standards, handbook tables,
reference libraries, real scores. Every table is measured anew by `make evidence`; nothing on this
page is written by hand.
"""


def scripts(folder: Path, only: Collection[str] = ()) -> list[Path]:
    """Return the measuring scripts of a folder in order of name, or those named.

    Raises ValueError when there is none, or when a name has none.
    """
    found = {path.stem: path for path in sorted(folder.glob("[!_]*.py"))}
    if not found:
        raise ValueError(f"there is no measuring script in {folder}")
    if missing := sorted(set(only) - found.keys()):
        raise ValueError(f"no measuring script called {', '.join(missing)} in {folder}")
    return [path for name, path in found.items() if not only or name in only]


def load(path: Path) -> ModuleType:
    """Import a script from its path."""
    spec = importlib.util.spec_from_file_location(f"{path.parent.name}_{path.stem}", path)
    assert spec is not None, path
    assert spec.loader is not None, path
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module  # dataclasses look their module up by name
    spec.loader.exec_module(module)
    return module


def chapter(path: Path) -> str:
    """Run one script and return its chapter: heading, what is measured, table."""
    module = load(path)
    heading, _, rest = inspect.cleandoc(module.__doc__ or "").partition("\n")
    if not heading:
        raise ValueError(f"{path} has no docstring to take the heading from")
    parts = [f"## {heading.rstrip('.')}", rest.strip(), module.table().strip()]
    return "\n\n".join(part for part in parts if part) + "\n"


def main(arguments: list[str] | None = None) -> None:
    """Run the scripts, say how long each took, write or print the page."""
    parser = argparse.ArgumentParser(description="Measure and tabulate.")
    parser.add_argument("names", nargs="*", help="only these scripts")
    parser.add_argument("--folder", type=Path, default=ROOT / "tools" / "evidence")
    parser.add_argument("--out", default=str(ROOT / "docs" / "evidence.md"), help="- prints")
    chosen = parser.parse_args(arguments)
    chapters = []
    for path in scripts(chosen.folder, chosen.names):
        start = time.perf_counter()
        chapters.append(chapter(path))
        print(f"{path.stem}: {time.perf_counter() - start:.1f} s", file=sys.stderr)
    if chosen.out == "-":
        print("\n".join(chapters))
    else:
        Path(chosen.out).write_text("\n".join([HEAD, *chapters]), encoding="utf-8")
        print(f"wrote {chosen.out}", file=sys.stderr)


if __name__ == "__main__":
    main()
