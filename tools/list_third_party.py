"""Write THIRD_PARTY.md: the packages we pin and the licence each one's own metadata states.

.venv/bin/python -m tools.list_third_party
"""

import re
from importlib.metadata import PackageMetadata, metadata
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
TARGET = ROOT / "THIRD_PARTY.md"
LONGEST_NAME = 50  # a longer entry is a licence's whole text, not its name

HEAD = """\
# Parts by others

None of these packages is copied into Redstave; each is installed beside it under its own licence.
The licences are those stated in the packages' own metadata. This page is written by
`make pins` and compared with `requirements/` by the tests.

## At run time

{run}

The music font in engraved pages (Leipzig) comes with verovio under the SIL Open Font License 1.1.
The numpy and scipy packages carry OpenBLAS and LAPACK (BSD-3-Clause), and the run-time library of
GCC (GPL-3.0 with its run-time exception; libquadmath LGPL-2.1-or-later).

## In tests and tools only

{dev}
"""


def pinned(file: str) -> list[str]:
    """Return the names that requirements/<file> pins itself, in its order."""
    text = (ROOT / "requirements" / file).read_text(encoding="utf-8")
    return re.findall(r"^([a-z0-9-]+)==", text, flags=re.MULTILINE)


def licence(about: PackageMetadata) -> str:
    """Return the licence as the metadata name it: expression, short free text, or classifier."""

    def stated(field: str) -> list[str]:
        return [text.strip() for text in about.get_all(field) or []]

    short = [text for text in stated("License") if _is_name(text)]
    classified = [
        text.rsplit(" :: ", 1)[-1] for text in stated("Classifier") if text.startswith("License ::")
    ]
    return ", ".join(stated("License-Expression") or short or classified) or "not stated"


def _is_name(text: str) -> bool:
    return 0 < len(text) <= LONGEST_NAME and "\n" not in text and text != "UNKNOWN"


def table(names: list[str]) -> str:
    """Return a Markdown table of packages and licences."""
    rows = ["| package | licence |", "|---|---|"]
    rows += [f"| {name} | {licence(metadata(name))} |" for name in names]
    return "\n".join(rows)


def page() -> str:
    """Return the whole text of THIRD_PARTY.md."""
    tools = sorted({*pinned("build.txt"), *pinned("dev.txt")})
    return HEAD.format(run=table(pinned("run.txt")), dev=table(tools))


if __name__ == "__main__":
    TARGET.write_text(page(), encoding="utf-8")
