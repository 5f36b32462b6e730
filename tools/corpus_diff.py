"""What a change makes of real scores: the findings that appeared and vanished, check by check.

Runs two versions of Redstave over the scores in ../shared/scores, the one at a revision and the one
in the working tree, and compares their findings by check, claim and place.

    .venv/bin/python -m tools.corpus_diff BASE [--show N] [--folder orchestra]
"""

import argparse
import json
import os
import subprocess
import sys
import tempfile
from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any, NamedTuple

ROOT = Path(__file__).resolve().parents[1]
SCORES = ROOT.parent / "shared" / "scores"
FOLDERS = ("orchestra", "shared-staves", "pairs")

# Run by each version in a process of its own; speaks only the documented JSON of a review.
REVIEW = """
import json, sys
from pathlib import Path
from redstave import app
for name in sys.argv[1:]:
    analysis = app.open_entry(Path(name))
    done = app.review(analysis, Path(name).stem, app.choose())
    print(json.dumps(app.review_json(done, analysis)), flush=True)
"""


class Told(NamedTuple):
    """One finding as it can be compared: the same place told by the same check is the same."""

    score: str
    slug: str
    kind: str
    places: tuple[tuple[str, str], ...]  # bar as printed, part

    def __str__(self) -> str:
        """Return the finding in one line."""
        bars = ", ".join(dict.fromkeys(bar for bar, _ in self.places))
        parts = ", ".join(dict.fromkeys(part for _, part in self.places))
        return f"{self.score}: {self.slug} ({self.kind}), bar {bars}, {parts}"


def told(files: Sequence[Path], source: Path) -> set[Told]:
    """Return what the version whose packages lie in `source` says of the files."""
    environment = {**os.environ, "PYTHONPATH": str(source), "PYTHONSAFEPATH": "1"}
    command = [sys.executable, "-c", REVIEW, *map(str, files)]
    run = subprocess.run(command, capture_output=True, text=True, env=environment, check=False)
    if run.returncode:
        raise SystemExit(f"the version in {source.name} could not run:\n{run.stderr[-2000:]}")
    reviews = map(json.loads, run.stdout.splitlines())
    return {one for file, data in zip(files, reviews, strict=True) for one in _findings(file, data)}


def _findings(file: Path, data: dict[str, Any]) -> Iterator[Told]:
    for finding in (*data["findings"], *data["credits"]):
        places = tuple((str(place["bar"]), place["part"]) for place in finding["places"])
        yield Told(file.stem, finding["slug"], finding["kind"], places)


def report(before: set[Told], after: set[Told], show: int) -> str:
    """Return the table of appeared and vanished findings, and the first `show` of each check."""
    appeared, vanished = after - before, before - after
    if not appeared and not vanished:
        return f"no difference: {len(after)} findings in both"
    counts = [Counter(one.slug for one in group) for group in (before, after, appeared, vanished)]
    rows = [
        "| check | before | after | appeared | vanished |",
        "|---|---:|---:|---:|---:|",
        *(
            f"| {slug} | " + " | ".join(str(count[slug]) for count in counts) + " |"
            for slug in sorted(counts[2].keys() | counts[3].keys())
        ),
    ]
    samples: dict[str, list[str]] = defaultdict(list)
    for sign, group in (("+", appeared), ("-", vanished)):
        for one in sorted(group):
            samples[f"{sign} {one.slug}"].append(f"{sign} {one}")
    lines = [line for key in sorted(samples) for line in samples[key][:show]]
    return "\n".join([*rows, "", *lines])


def main(arguments: Sequence[str] | None = None) -> None:
    """Compare the working tree with a revision and print the difference."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("base", help="the revision to compare with")
    parser.add_argument("--show", type=int, default=5, help="samples of each check")
    parser.add_argument("--folder", action="append", choices=FOLDERS, help="only these scores")
    wanted = parser.parse_args(arguments)
    files = [
        file for folder in wanted.folder or FOLDERS for file in sorted((SCORES / folder).glob("*"))
    ]
    if not files:
        raise SystemExit("the real scores are not here (expected in ../shared/scores)")
    with tempfile.TemporaryDirectory() as folder:
        tree = Path(folder) / "base"
        subprocess.run(
            ["git", "worktree", "add", "--detach", "--quiet", str(tree), wanted.base],
            cwd=ROOT,
            check=True,
        )
        try:
            before = told(files, tree / "src")
        finally:
            subprocess.run(
                ["git", "worktree", "remove", "--force", str(tree)], cwd=ROOT, check=True
            )
        print(report(before, told(files, ROOT / "src"), wanted.show))


if __name__ == "__main__":
    main()
