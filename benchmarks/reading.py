"""Reading a score.

The time to read a file into a Score, and the time that lxml alone takes to parse the same bytes in
the same run: the ratio says how much the reader adds, whatever the machine. Medians of five runs.
"""

import statistics
import time
from collections.abc import Callable
from functools import partial

from lxml import etree

from redstave.reading import read_bytes
from redstave.reading.tiny import to_musicxml

RUNS = 5
BAR = "mf < C5/8:accent( D5 E5) F5:staccato = r/4 [G4 B4]/4~ | [G4 B4]/4 A4/16 B4 C5 D5 r/2 | "


def table() -> str:
    """Measure files of 10, 20 and 40 parts."""
    rows = [
        "| parts | bars | MB | lxml, s | Redstave, s | ratio |",
        "|---:|---:|---:|---:|---:|---:|",
    ]
    for parts in (10, 20, 40):
        bars = 200
        data = to_musicxml(_score(parts, bars))
        bare = _seconds(partial(etree.fromstring, data))
        full = _seconds(partial(read_bytes, data, "bench.musicxml"))
        rows.append(
            f"| {parts} | {bars} | {len(data) / 1e6:.1f} | {bare:.2f} | {full:.2f} "
            f"| {full / bare:.1f} |"
        )
    return "\n".join(rows)


def _score(parts: int, bars: int) -> str:
    music = "\n".join(BAR for _ in range(bars // 2))
    return "title: Measure\n" + "".join(
        f"part Flute {number}\n{music}\n" for number in range(1, parts + 1)
    )


def _seconds(work: Callable[[], object]) -> float:
    times = []
    for _ in range(RUNS):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return statistics.median(times)
