"""Write the pages of the documentation that are made from the program, or check them.

    .venv/bin/python -m tools.make_pages write
    .venv/bin/python -m tools.make_pages check

`check` writes nothing, names each page that is not as it would be written, and exits with 1.
"""

import argparse
import sys
from pathlib import Path

from tools.pages import pages

DOCS = Path(__file__).resolve().parents[1] / "docs"
FOLDERS = ("checks", "instruments", "sources", "words")


def differences(docs: Path = DOCS) -> list[str]:
    """Return the paths below `docs` that are missing, stale or left over."""
    made = pages()
    found = {path.relative_to(docs).as_posix() for path in _kept(docs)}
    stale = [name for name in made.keys() & found if (docs / name).read_text("utf-8") != made[name]]
    return sorted([*stale, *(made.keys() ^ found)])


def write(docs: Path = DOCS) -> list[str]:
    """Write every page, remove what is left over, and return the paths that changed."""
    made, changed = pages(), differences(docs)
    for name in changed:
        path = docs / name
        if name in made:
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(made[name], encoding="utf-8")
        else:
            path.unlink()
    return changed


def _kept(docs: Path) -> list[Path]:
    return [path for folder in FOLDERS for path in (docs / folder).glob("*.md")]


def main(arguments: list[str] | None = None) -> None:
    """Write or check, and say what differed."""
    parser = argparse.ArgumentParser(description="Make the generated pages of the documentation.")
    parser.add_argument("mode", choices=("write", "check"))
    mode = parser.parse_args(arguments).mode
    for name in (changed := write() if mode == "write" else differences()):
        print(f"docs/{name} {'written' if mode == 'write' else 'is not as it would be written'}")
    if changed and mode == "check":
        sys.exit("`make pages` writes them anew")


if __name__ == "__main__":
    main()
