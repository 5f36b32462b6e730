"""Reading a score.

CPU seconds to read a file into a Score, side by side in one run with what else reads the same
bytes: lxml alone (the bare parse, which every reader must do), partitura and music21. Each reading
has a process of its own, after its imports: what a parser sets free is charged to whoever asks for
memory next, and one that has held large trees before need not ask for any. lxml and Redstave are
the best of five such readings, taken in turn; the others read once. Real scores stand in
`../shared/scores/orchestra`; without them only files of our own making are read.

What we want: at least ten times faster than partitura and music21 above ten thousand notes (six
times below), at most four times the bare parse, and at most 150 MiB above the start for fifty
thousand notes.

Where the time goes, on a large file: two fifths are cutting the file's text into bars, notes and
what stands beside them, a seventh are the texts that were not met before, a thirtieth is the parse
of what is left; the rest is making notes, marks and spans, of which each keeps its line, its path
and all that its element says.
"""

import contextlib
import io
import multiprocessing
import sys
import tempfile
import time
import warnings
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import NamedTuple

from lxml import etree

from redstave.reading import read_bytes, xml_of
from redstave.reading.tiny import to_musicxml

RUNS = 5
MEMORY_NOTES = 50_000
ORCHESTRA = Path(__file__).resolve().parents[2] / "shared" / "scores" / "orchestra"
BAR = "mf < C5/8:accent( D5 E5) F5:staccato = r/4 [G4 B4]/4~ | [G4 B4]/4 A4/16 B4 C5 D5 r/2 | "


class Times(NamedTuple):
    """CPU seconds of each reader on one file; None where it was not run or failed."""

    name: str
    notes: int
    lxml: float
    redstave: float
    partitura: float | None
    music21: float | None


def table() -> str:
    """Measure every file there is, and the memory that fifty thousand notes take."""
    return f"{_speed()}\n\n{_memory()}"


def _speed() -> str:
    rows = [
        "| file | notes | lxml, s | Redstave, s | to lxml | partitura, s | times "
        "| music21, s | times |",
        "|---|---:|---:|---:|---:|---:|---:|---:|---:|",
    ]
    rows += [_row(times) for times in map(_times, sorted(_files().items()))]
    return "\n".join(rows)


def _files() -> dict[str, bytes]:
    if ORCHESTRA.is_dir():
        return {
            path.stem: xml_of(path.read_bytes(), path.name)[0] for path in ORCHESTRA.glob("*.mxl")
        }
    return {f"{parts} parts": to_musicxml(_score(parts, 200)) for parts in (10, 20, 40)}


def _times(file: tuple[str, bytes]) -> Times:
    name, data = file
    bare, ours = float("inf"), float("inf")
    for _ in range(RUNS):
        bare = min(bare, _alone("lxml", data) or bare)
        ours = min(ours, _alone("redstave", data) or ours)
    notes = sum(len(part.notes) for part in read_bytes(data, name).parts)
    return Times(name, notes, bare, ours, _alone("partitura", data), _alone("music21", data))


def _alone(reader: str, data: bytes) -> float | None:
    """Measure one reading in a process of its own."""
    with multiprocessing.get_context("spawn").Pool(1) as pool:
        return pool.apply(_once, (reader, data))


def _row(times: Times) -> str:
    others = [
        f"{seconds:.1f} | {seconds / times.redstave:.0f}" if seconds else "– | –"
        for seconds in (times.partitura, times.music21)
    ]
    return (
        f"| {times.name} | {times.notes} | {times.lxml:.3f} | {times.redstave:.3f} "
        f"| {times.redstave / times.lxml:.1f} | {' | '.join(others)} |"
    )


def _once(reader: str, data: bytes) -> float | None:
    """Measure a reader of that name, without its import; None if it fails."""
    with tempfile.NamedTemporaryFile(suffix=".musicxml") as file, warnings.catch_warnings():
        # They warn of what they leave out of a score, and of one another's old ways.
        warnings.simplefilter("ignore")
        file.write(data)
        file.flush()
        try:
            load = READERS[reader](data, file.name)
            with contextlib.redirect_stdout(io.StringIO()):
                start = time.process_time()
                read = load()  # kept until it has been timed: to forget it is no part of reading
                seconds = time.process_time() - start
                del read
                return seconds
        except (ImportError, ValueError, KeyError, AttributeError, TypeError) as error:
            print(f"{reader}: {type(error).__name__}: {error}", file=sys.stderr)
            return None


def _lxml(data: bytes, _path: str) -> Callable[[], object]:
    return partial(etree.fromstring, data)


def _redstave(data: bytes, path: str) -> Callable[[], object]:
    return partial(read_bytes, data, path)


def _partitura(_data: bytes, path: str) -> Callable[[], object]:
    import partitura

    return partial(partitura.load_musicxml, path)


def _music21(_data: bytes, path: str) -> Callable[[], object]:
    import music21

    return partial(music21.converter.parse, path, forceSource=True)


READERS = {
    "lxml": _lxml,
    "redstave": _redstave,
    "partitura": _partitura,
    "music21": _music21,
}


def _memory() -> str:
    """Measure in a process of its own what reading fifty thousand notes adds at its peak."""
    data = to_musicxml(_score(MEMORY_NOTES // 1300, 200))
    here, there = multiprocessing.Pipe(duplex=False)
    child = multiprocessing.get_context("spawn").Process(target=_grow, args=(data, there))
    child.start()
    notes, grown = here.recv()
    child.join()
    return f"{notes} notes ({len(data) / 1e6:.0f} MB of XML) add {grown:.0f} MiB at the peak."


def _grow(data: bytes, pipe: "multiprocessing.connection.Connection") -> None:
    before = _peak()
    score = read_bytes(data, "bench.musicxml")
    pipe.send((sum(len(part.notes) for part in score.parts), _peak() - before))


def _peak() -> float:
    status = Path("/proc/self/status").read_text(encoding="ascii")
    line = next(line for line in status.splitlines() if line.startswith("VmHWM"))
    return int(line.split()[1]) / 1024


def _score(parts: int, bars: int) -> str:
    music = "\n".join(BAR for _ in range(bars // 2))
    return "title: Measure\n" + "".join(
        f"part Flute {number}\n{music}\n" for number in range(1, parts + 1)
    )
