"""The desk reading a whole movement: first paint, next system, memory, page weight.

A season with one computed entry; `redstave desk` runs in a process of its own and is asked by
Chromium (800 by 1280 points). *Opened* is the first request after a start of the desk: the entry is
read and heard anew. *First paint* is what the browser calls first contentful paint, the entry being
open and no system of the layout painted yet; *again* the same when they are. *Next system* is from
asking to laid out, the system having been painted ahead: median and worst of those that a reader
meets who goes on to the next that is not drawn yet, from the first bar to the last.
*Typed to disk* is from the last key in a text to its being on disk, the pause for further keys (350
ms) included. Memory is that of the server's process when all systems have been read, and with its
painters. Seconds are those of the clock, on a machine that does other work too.
"""

import os
import re
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from statistics import median
from typing import NamedTuple

from playwright.sync_api import Page, sync_playwright

from redstave.app import seasons

ROOT = Path(__file__).resolve().parents[1]
SCORES = (
    ROOT / "src/redstave/app/demo/orchestra.musicxml",
    ROOT.parent / "shared/scores/orchestra/Boulanger_Dun_matin_de_printemps.mxl",
)
FLAGS = ("--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--disable-component-update")
FIRST_PAINT = """() => new Promise(told => {
  const seen = performance.getEntriesByName('first-contentful-paint');
  if (seen.length) return told(seen[0].startTime);
  new PerformanceObserver(list => told(list.getEntries()[0].startTime))
    .observe({ type: 'paint', buffered: true });
})"""
NEXT_SYSTEM = """async () => {
  const systems = await import(document.querySelector('script[src*="reading.js"]').src
    .replace('reading.js', 'systems.js'));
  const at = systems.sections.findIndex(one => one.element.getBoundingClientRect().bottom > 60);
  const one = systems.sections.slice(Math.max(at, 0)).find(one => !systems.isDrawn(one));
  if (!one) return null;
  const start = performance.now();
  await systems.draw(one);
  one.element.getBoundingClientRect();
  const took = performance.now() - start;
  one.element.scrollIntoView();
  return took;
}"""
ON_DISK = """() => new Promise(told => {
  const start = performance.now(), saved = document.getElementById('saved');
  const look = () => saved.textContent === 'Saved'
    ? told(performance.now() - start) : requestAnimationFrame(look);
  look();
})"""
TURN_MS = 700  # the reader looks at a system before the next is asked for
WEIGHT = """() => performance.getEntriesByType('resource')
  .concat(performance.getEntriesByType('navigation'))
  .reduce((sum, one) => sum + one.encodedBodySize, 0)"""


class Measured(NamedTuple):
    """What was measured of one entry: seconds, milliseconds, MiB and KiB as the table says."""

    bars: int
    parts: int
    opened_s: float
    first_s: float
    again_s: float
    next_ms: tuple[float, ...]
    server_mib: float
    all_mib: float
    page_kib: float
    system_kib: float
    typed_ms: float


def table() -> str:
    """Measure each score; a sentence instead where there is no Chromium."""
    chromium = shutil.which("chromium") or shutil.which("chromium-browser")
    if chromium is None:
        return "Chromium is not installed; the desk was not measured."
    rows = [
        "| score | bars | parts | opened, s | first paint | again | next system, ms | worst | "
        "server, MiB | with painters | page, KiB | a system | typed to disk, ms |",
        "|---|" + "---:|" * 12,
    ]
    for path in SCORES:
        one = _measured(path, chromium)
        rows.append(
            f"| {path.stem} | {one.bars} | {one.parts} | {one.opened_s:.1f} | {one.first_s:.2f} | "
            f"{one.again_s:.2f} | {median(one.next_ms):.0f} | {max(one.next_ms):.0f} | "
            f"{one.server_mib:.0f} | {one.all_mib:.0f} | {one.page_kib:.0f} | "
            f"{one.system_kib:.0f} | {one.typed_ms:.0f} |"
        )
    return "\n".join(rows)


def _measured(score: Path, chromium: str) -> Measured:
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as play:
        code, bars, parts = _season(Path(folder) / "season", score)
        browser = play.chromium.launch(executable_path=chromium, args=FLAGS)
        with _served(Path(folder)) as (root, server):
            page = browser.new_page(viewport={"width": 1280, "height": 800})
            address = f"{root}entries/{code}/reading"
            start = time.monotonic()
            page.goto(f"{address}?notes=small&families=percussion")
            opened = time.monotonic() - start
            first = _first_paint(page, address)
            weight = float(page.evaluate(WEIGHT)) / 1024
            sizes = list(_painted(page, address))
            again = _first_paint(page, address)
            found = list(_read_through(page))
            typed = _typed(page, f"{root}entries/{code}/letter")
            memory = _memory(server), sum(map(_memory, [server, *_children(server)]))
        browser.close()
    system = sum(sizes) / len(sizes) / 1024
    return Measured(bars, parts, opened, first, again, tuple(found), *memory, weight, system, typed)


def _season(folder: Path, score: Path) -> tuple[str, int, int]:
    """Make a season with one computed entry; return its code, bars and parts."""
    with seasons.new_season(folder) as season:
        code = seasons.add_files(season, [score]).codes[0]
        seasons.compute(season)
        read = seasons.score_of(season, code)
    return code, len(read.bars), len(read.parts)


@contextmanager
def _served(folder: Path) -> Iterator[tuple[str, int]]:
    """Run the desk with an empty store of pictures; yield its address and its process."""
    command = [sys.executable, "-c", "from redstave.cli import main; main()", "desk"]
    desk = subprocess.Popen(
        [*command, str(folder / "season"), "--port", "0", "--no-browser"],
        stdout=subprocess.PIPE,
        text=True,
        env=os.environ | {"XDG_CACHE_HOME": str(folder), "PYTHONUNBUFFERED": "1"},
    )
    try:
        assert desk.stdout is not None
        found = re.search(r"http://\S+", desk.stdout.readline())
        assert found is not None, "the desk did not say where it is"
        yield found[0], desk.pid
    finally:
        desk.terminate()
        desk.communicate(timeout=20)


def _first_paint(page: Page, address: str) -> float:
    page.goto(address)
    return float(page.evaluate(FIRST_PAINT)) / 1000


def _read_through(page: Page) -> Iterator[float]:
    """Read on to the end; yield for each system that was not drawn yet how long it took, in ms."""
    while (took := page.evaluate(NEXT_SYSTEM)) is not None:
        yield float(took)
        page.wait_for_timeout(TURN_MS)


def _typed(page: Page, address: str) -> float:
    """Type into the letter's opening; return the ms from the last key to "Saved"."""
    page.goto(address, wait_until="networkidle")
    page.locator("#text-opening").press_sequentially("Thank you for this music.")
    return float(page.evaluate(ON_DISK))


def _painted(page: Page, address: str) -> Iterator[int]:
    """Ask for every system once, so that all are painted; yield their sizes in bytes."""
    for number in range(page.locator(".system").count()):
        answer = page.request.get(address.replace("/reading", f"/systems/{number}"))
        yield len(answer.body())


def _children(process: int) -> list[int]:
    """Return the processes that a process has started, and theirs."""
    found = Path(f"/proc/{process}/task").glob("*/children")
    own = [int(word) for path in found for word in path.read_text().split()]
    return own + [below for one in own for below in _children(one)]


def _memory(process: int) -> float:
    """Return the resident memory of a process in MiB."""
    text = Path(f"/proc/{process}/status").read_text()
    found = re.search(r"VmRSS:\s+(\d+) kB", text)
    return int(found[1]) / 1024 if found else 0.0
