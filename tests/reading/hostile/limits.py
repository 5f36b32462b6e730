"""Reads files in children of this process, each within limits of time and memory."""

import multiprocessing
import os
import resource
import time
from typing import NamedTuple

from redstave.base.errors import InputError
from redstave.reading import read_bytes
from tests.reading.hostile.case import Case

SECONDS = 2.0
MEBIBYTES = 500
FORK = multiprocessing.get_context("fork")  # the libraries need not be loaded again each time


class Outcome(NamedTuple):
    """What came of a file: an error's text or a score's facts, and what it took.

    `seconds` is processor time, `mebibytes` what the process grew by at its peak.
    """

    error: str = ""
    crash: str = ""
    codes: tuple[str, ...] = ()
    notes: int = 0
    said: str = ""
    seconds: float = 0.0
    mebibytes: float = 0.0


def outcome(case: Case) -> Outcome:
    """Read a case in a child that may take four times what is allowed, so that it can be told."""
    here, there = FORK.Pipe(duplex=False)
    child = FORK.Process(target=_child, args=(case, there))
    child.start()
    there.close()
    found = here.recv() if here.poll(60) else Outcome(crash="no answer within a minute")
    child.join(5)
    child.kill()
    return Outcome(*found)


def _child(case: Case, pipe: "multiprocessing.connection.Connection") -> None:
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    resource.setrlimit(resource.RLIMIT_CPU, (int(4 * SECONDS) + 60, int(4 * SECONDS) + 60))
    before, begun = _peak(), time.process_time()
    try:
        result = _read(case)
    except BaseException as error:
        result = Outcome(crash=f"{type(error).__name__}: {error}")
    took, grown = time.process_time() - begun, _peak() - before
    pipe.send(tuple(result._replace(seconds=took, mebibytes=grown)))
    pipe.close()
    os._exit(0)


def _peak() -> float:
    with open("/proc/self/status", encoding="ascii") as status:  # noqa: PTH123
        line = next(line for line in status if line.startswith("VmHWM"))
    return int(line.split()[1]) / 1024


def _read(case: Case) -> Outcome:
    try:
        score = read_bytes(case.data, case.file)
    except InputError as error:
        return Outcome(error=str(error))
    notes = [note for part in score.parts for note in part.notes]
    said = repr((score.metadata, [part.name for part in score.parts], score.problems))[:100_000]
    return Outcome(
        codes=tuple({problem.code for problem in score.problems}),
        notes=len(notes),
        said=said,
    )
