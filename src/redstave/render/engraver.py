"""Engraving in a child process: a batch of pages in, one SVG or one clear failure for each.

A page that kills the child, or that it does not finish in time, is reported as failed and the
rest of the batch goes on in a fresh child. No page sees what was engraved before it, so the same
page gives the same SVG in any batch.
"""

import json
import os
import selectors
import subprocess
import sys
import time
from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cache
from importlib.util import find_spec
from pathlib import Path
from types import TracebackType
from typing import Any, NamedTuple, Self

from redstave.base.errors import DataError

FAILED = "this passage could not be engraved"

#: Lengths are in the engraver's own units: 9 of them make half a stave space.
PASSAGE: dict[str, Any] = {
    "inputFrom": "xml",
    "breaks": "none",
    "header": "none",
    "footer": "none",
    "font": "Leipzig",
    "smuflTextFont": "none",
    "svgViewBox": True,
    "svgRemoveXlink": True,
    "adjustPageHeight": True,
    "adjustPageWidth": True,
    "pageWidth": 30000,
    "pageHeight": 30000,
    "pageMarginTop": 55,
    "pageMarginBottom": 15,
    "pageMarginLeft": 20,
    "pageMarginRight": 20,
    "mnumInterval": 0,
    "expandNever": True,
    "xmlIdSeed": 1,
}


class Job(NamedTuple):
    """One page to engrave: MusicXML or MEI text, and the bars to show ("4-7", "" for all).

    `fitted` is the width of a page that one system is to fill from edge to edge, in tenths of the
    page's coordinates; bars that do not fit get a wider page. 0 leaves the passage as wide as it
    comes out.
    """

    text: str
    bars: str = ""
    options: tuple[tuple[str, Any], ...] = ()
    fitted: int = 0


class Engraving(NamedTuple):
    """The answer to a job: the SVG as the engraver wrote it, or "" and why there is none."""

    svg: str
    failure: str = ""


@dataclass(frozen=True, slots=True)
class Patience:
    """How much one page may cost: memory in MB, processor and wall-clock time in seconds.

    `niceness` (0 to 19, as POSIX has it) lets other work go before it.
    """

    megabytes: int = 1500
    processor_s: int = 20
    wall_s: float = 40.0
    niceness: int = 0


@dataclass(slots=True)
class _Child:
    """One running child; used as a context so that it never outlives the batch."""

    patience: Patience
    process: subprocess.Popen[bytes] = field(init=False)

    def __enter__(self) -> Self:
        command = [sys.executable, "-P", "-m", "redstave.render.engraver_child"]
        asked = self.patience
        limits = [str(one) for one in (asked.megabytes, asked.processor_s, asked.niceness)]
        self.process = subprocess.Popen(
            command + limits,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
        )
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.process.kill()
        for pipe in (self.process.stdin, self.process.stdout):
            if pipe is not None:
                try:
                    pipe.close()
                except BrokenPipeError:  # unsent words for a child that is gone
                    continue
        self.process.wait()

    def ask(self, job: dict[str, Any]) -> dict[str, Any] | None:
        """Return the child's answer, or None when it died or took too long."""
        assert self.process.stdin is not None
        try:
            self.process.stdin.write(json.dumps(job).encode() + b"\n")
            self.process.stdin.flush()
        except BrokenPipeError:
            return None
        line = self._line(time.monotonic() + self.patience.wall_s)
        return None if line is None else json.loads(line)

    def _line(self, deadline: float) -> bytes | None:
        assert self.process.stdout is not None
        pieces: list[bytes] = []
        with selectors.DefaultSelector() as selector:
            selector.register(self.process.stdout, selectors.EVENT_READ)
            while selector.select(max(0.0, deadline - time.monotonic())):
                piece = os.read(self.process.stdout.fileno(), 1 << 20)
                pieces.append(piece)
                if piece.endswith(b"\n"):
                    return b"".join(pieces)
                if not piece:
                    return None
        return None


class Engraver:
    """A child kept for one job after another; one that died is replaced at the next job.

    Not to be shared between threads. Used as a context, or closed by hand.
    """

    def __init__(self, patience: Patience | None = None) -> None:
        self._patience = patience or Patience()
        self._child: _Child | None = None
        self._jobs = 0

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def engrave(self, job: Job) -> Engraving:
        """Engrave one job; a failed one carries a sentence instead of an SVG."""
        if self._child is None:
            self._child = _Child(self._patience).__enter__()
        self._jobs += 1
        reply = self._child.ask(_message(self._jobs, job))
        if reply is None:
            self.close()
        return _engraving(reply)

    def close(self) -> None:
        """Stop the child, if there is one."""
        if self._child is not None:
            self._child.__exit__(None, None, None)
            self._child = None


def engrave(jobs: Iterable[Job], patience: Patience | None = None) -> tuple[Engraving, ...]:
    """Engrave every job, in order; a failed job carries a sentence instead of an SVG."""
    with Engraver(patience) as engraver:
        return tuple(engraver.engrave(job) for job in jobs)


def _message(index: int, job: Job) -> dict[str, Any]:
    options = PASSAGE | dict(job.options)
    return {
        "id": index,
        "text": job.text,
        "bars": job.bars,
        "options": options,
        "fitted": job.fitted,
    }


def _engraving(reply: dict[str, Any] | None) -> Engraving:
    if reply is None:
        return Engraving("", f"{FAILED}: the engraver stopped at it")
    if "error" in reply:
        return Engraving("", f"{FAILED}: {reply['error']}")
    return Engraving(reply["svg"])


@cache
def music_font_css() -> str:
    """Return an `@font-face` rule with the music font of the engraver, as a data URL.

    Words in the SVG name the font "Leipzig" for levels and note values (SIL Open Font License).
    """
    package = find_spec("verovio")
    places = package.submodule_search_locations if package else None
    for place in places or ():
        return (Path(place) / "data" / "Leipzig.css").read_text(encoding="utf-8")
    raise DataError("the engraver's music font is missing: install verovio")
