"""Computing in the background: one child process at a time, with limits, to be stopped any time.

What was computed is kept entry by entry, so that after a stop, a crash or a restart of the desk the
next run goes on with what is missing.
"""

import json
import os
import subprocess
import sys
import threading
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import NamedTuple

from redstave.app.desk.computing_child import FAILED, UP_TO_DATE
from redstave.base.errors import InputError

STOPPED = "computing it took more memory or time than it may and was stopped"

Command = Callable[[Path, "Allowance", Sequence[str]], list[str]]


class Allowance(NamedTuple):
    """How much memory (MB) the process may take, and how much processor time (s) one entry."""

    megabytes: int = 4000
    seconds: int = 600


@dataclass(frozen=True, slots=True)
class Progress:
    """How far computing is. `ended` is "" while it runs, then "done", "stopped" or "idle".

    `failed` holds code names with what went wrong, in a sentence.
    """

    ended: str = "idle"
    wanted: tuple[str, ...] = ()
    code: str = ""
    step: str = ""
    done: tuple[str, ...] = ()
    up_to_date: tuple[str, ...] = ()
    failed: tuple[tuple[str, str], ...] = ()

    @property
    def running(self) -> bool:
        """Whether something is being computed now."""
        return not self.ended

    @property
    def left(self) -> tuple[str, ...]:
        """The entries that were asked for and are not finished, the one at hand first."""
        finished = {*self.done, *(code for code, _ in self.failed)}
        return tuple(code for code in self.wanted if code not in finished)


def command_for(folder: Path, allowance: Allowance, codes: Sequence[str]) -> list[str]:
    """Return the command that computes some entries of a season."""
    limits = [str(allowance.megabytes), str(allowance.seconds)]
    return [
        sys.executable, "-P", "-m", "redstave.app.desk.computing_child",
        str(folder), *limits, *codes,
    ]  # fmt: skip


class Computing:
    """Computes entries of one season in the background. Close it when done."""

    def __init__(
        self,
        folder: Path,
        allowance: Allowance | None = None,
        command: Command = command_for,
    ) -> None:
        self._folder = folder
        self._allowance = allowance or Allowance()
        self._command = command
        self._lock = threading.Lock()
        self._progress = Progress()
        self._process: subprocess.Popen[bytes] | None = None
        self._thread: threading.Thread | None = None
        self._stopping = False

    @property
    def progress(self) -> Progress:
        """How far it is."""
        with self._lock:
            return self._progress

    def start(self, codes: Sequence[str]) -> Progress:
        """Compute entries; those asked for while it runs come after what is asked for already."""
        with self._lock:
            if self._progress.running:
                more = [code for code in codes if code not in self._progress.left]
                kept = tuple(code for code in self._progress.wanted if code not in more)
                self._progress = replace(
                    self._progress,
                    wanted=(*kept, *more),
                    done=tuple(one for one in self._progress.done if one not in more),
                    failed=tuple(one for one in self._progress.failed if one[0] not in more),
                )
                return self._progress
            if not codes:
                raise InputError("there is nothing to compute")
            self._stopping = False
            self._progress = Progress("", tuple(dict.fromkeys(codes)))
            self._thread = threading.Thread(target=self._work, name="computing", daemon=True)
            self._thread.start()
            return self._progress

    def stop(self) -> Progress:
        """Stop at once: the entry at hand is left, what was computed before is kept."""
        with self._lock:
            self._stopping = True
            process, thread = self._process, self._thread
        if process is not None:
            process.kill()
        if thread is not None:
            thread.join()
        return self.progress

    close = stop

    def _work(self) -> None:
        """Run children until nothing is left; one that dies is followed by another."""
        while left := self._next():
            self._run(left)
            if not self._stopping:
                self._tell_death(left)

    def _next(self) -> tuple[str, ...]:
        """Return what is to be computed now; where nothing is, that is the end."""
        with self._lock:
            left = self._progress.left
            if not left or self._stopping:
                ended = "stopped" if left else "done"
                self._progress = replace(self._progress, ended=ended, code="", step="")
                self._process = None
                return ()
            return left

    def _run(self, codes: Sequence[str]) -> None:
        environment = os.environ | {"OMP_NUM_THREADS": "1", "OPENBLAS_NUM_THREADS": "1"}
        with subprocess.Popen(
            self._command(self._folder, self._allowance, codes),
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            env=environment,
        ) as process:
            with self._lock:
                self._process = process
            if self._stopping:  # asked for between two children
                process.kill()
            assert process.stdout is not None
            for line in process.stdout:
                self._hear(json.loads(line))

    def _hear(self, said: dict[str, str]) -> None:
        with self._lock:
            now = replace(self._progress, code=said["code"], step=said.get("step", ""))
            if said.get("done") == FAILED:
                now = replace(now, failed=(*now.failed, (said["code"], said["words"])))
            elif "done" in said:
                now = replace(now, done=(*now.done, said["code"]))
                if said["done"] == UP_TO_DATE:
                    now = replace(now, up_to_date=(*now.up_to_date, said["code"]))
            self._progress = now

    def _tell_death(self, codes: Sequence[str]) -> None:
        """Say of the entry at which a child died that it failed; without one the first is meant."""
        with self._lock:
            open_ = [code for code in codes if code in self._progress.left]
            if open_:
                at = self._progress.code if self._progress.code in open_ else open_[0]
                self._progress = replace(
                    self._progress, failed=(*self._progress.failed, (at, STOPPED))
                )
