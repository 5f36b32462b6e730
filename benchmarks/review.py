"""The whole review against the engraver alone.

CPU seconds, in one run on one machine, each in a process of its own: `redstave review` with its
letter (reading, players, hearing, all checks, ways out tried, every excerpt engraved), and the
engraver merely loading and painting all pages of the same file: laid out by itself, as is its
custom, and with the line breaks of the file, which saves it the layout. A ratio below 1 means that
a teacher has the finished letter before a plain engraving of the score would be on the screen.
"""

import resource
import subprocess
import sys
import tempfile
from pathlib import Path

from redstave.reading import xml_of

ROOT = Path(__file__).resolve().parents[2] / "shared" / "scores"
SCORES = (
    "orchestra/Boulanger_Dun_matin_de_printemps.mxl",
    "orchestra/Beethoven_Op.67_1.mxl",
    "shared-staves/Karlowicz_Op.10_2.musicxml",
)
ENGRAVE = """
import sys, verovio
verovio.enableLog(verovio.LOG_OFF)
toolkit = verovio.toolkit()
toolkit.setOptions({"adjustPageHeight": True, "inputFrom": "xml", "breaks": sys.argv[2]})
assert toolkit.loadData(open(sys.argv[1], encoding="utf-8").read())
for page in range(1, toolkit.getPageCount() + 1):
    toolkit.renderToSVG(page)
"""
REVIEW = "from redstave.cli import main; main()"


def table() -> str:
    """Measure each score; FileNotFoundError where the scores are not there."""
    rows = [
        "| score | review, CPU s | engraver, own layout | ratio | engraver, given breaks | ratio |",
        "|---|---:|---:|---:|---:|---:|",
    ]
    with tempfile.TemporaryDirectory() as folder:
        for name in SCORES:
            entry = ROOT / name
            plain = Path(folder) / "score.xml"
            plain.write_bytes(xml_of(entry.read_bytes(), entry.name)[0])
            review = _cpu_seconds(REVIEW, "review", str(entry), "--out", folder)
            own, given = (_cpu_seconds(ENGRAVE, str(plain), how) for how in ("auto", "encoded"))
            rows.append(
                f"| {entry.stem} | {review:.1f} | {own:.1f} | {review / own:.2f} "
                f"| {given:.1f} | {review / given:.2f} |"
            )
    return "\n".join(rows)


def _cpu_seconds(code: str, *words: str) -> float:
    """Return user and system time of a child process and its children."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run([sys.executable, "-c", code, *words], check=True, capture_output=True)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime
