"""Throws damaged files at the reader: a Score or one line, never a traceback, never for long.

Seeds are the files of the MusicXML test suite in ../shared/scores/suite, read from there, or a
small file of our own where they are not. Atheris guides the changes by what the reader does;
where it is not installed, changes are made at random.

    .venv/bin/python -m fuzz.reading [SECONDS]
"""

import random
import signal
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from types import FrameType

try:
    import atheris
except ImportError:  # no build for this Python
    atheris = None

if atheris is None:
    from redstave.base.errors import InputError
    from redstave.reading import read_bytes
    from redstave.reading.door import is_kern, is_mei
else:
    with atheris.instrument_imports(include=["redstave.reading"]):
        from redstave.base.errors import InputError
        from redstave.reading import read_bytes
        from redstave.reading.door import is_kern, is_mei

SUITE = Path(__file__).resolve().parents[2] / "shared" / "scores" / "suite"
LIMIT_S = 2
LONGEST = 50_000  # bytes of a seed, and of what is made of it
SMALL = (
    b"<score-partwise><part-list><score-part id='A'><part-name>Flute</part-name></score-part>"
    b"</part-list><part id='A'><measure number='1'><note><rest/><duration>4</duration></note>"
    b"</measure></part></score-partwise>"
)


def try_one(data: bytes) -> None:
    """Read one file; AssertionError or whatever the reader raises if it does not end well."""
    if is_kern(data) or is_mei(data):
        return  # these go to a child process, which is bounded from outside
    started = time.process_time()
    said, score = "", None
    try:
        score = read_bytes(data, "entry")
    except InputError as error:
        said = str(error)
    assert "\n" not in said, said
    if score is not None:
        assert all(note.offset >= 0 and note.duration >= 0 for note in score.notes_by_id.values())
        assert all(bar.length > 0 for bar in score.bars)
    assert time.process_time() - started <= LIMIT_S


def seeds() -> list[bytes]:
    """Return the files that changes begin with."""
    found = sorted(SUITE.iterdir()) if SUITE.is_dir() else []
    return [data for path in found if len(data := path.read_bytes()) <= LONGEST] or [SMALL]


def at_random(seconds: float, attempt: Callable[[bytes], None]) -> int:
    """Change seeds at random for so long; return how many were tried."""
    chance = random.Random(1)
    known = seeds()
    end, tried = time.monotonic() + seconds, 0
    while time.monotonic() < end:
        data = bytearray(chance.choice(known))
        for _ in range(chance.randint(1, 8)):
            place, length = chance.randrange(len(data)), chance.randint(0, 40)
            other = chance.choice(known)
            start = chance.randrange(len(other))
            data[place : place + length] = other[start : start + chance.randint(0, 40)]
        attempt(bytes(data))
        tried += 1
    return tried


def guided(seconds: int) -> None:
    """Let Atheris change seeds for so long; it ends the process itself."""
    with tempfile.TemporaryDirectory() as folder:
        for number, data in enumerate(seeds()):
            (Path(folder) / f"{number}.xml").write_bytes(data)
        options = [f"-max_total_time={seconds}", f"-max_len={LONGEST}", "-timeout=20"]
        options += ["-print_final_stats=0", f"-artifact_prefix={tempfile.gettempdir()}/redstave-"]
        atheris.Setup([sys.argv[0], folder, *options], try_one)
        atheris.Fuzz()


def _out_of_time(_signal: int, _frame: FrameType | None) -> None:
    raise AssertionError("the reader did not return")


def main() -> None:
    """Fuzz for the seconds given, 60 without."""
    seconds = int(sys.argv[1]) if len(sys.argv) > 1 else 60
    if atheris is not None:
        guided(seconds)
        return
    signal.signal(signal.SIGALRM, _out_of_time)
    signal.alarm(seconds + 60)
    print(f"{at_random(seconds, try_one)} damaged files, and each ended well")


if __name__ == "__main__":
    main()
