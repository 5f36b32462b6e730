"""While one waits: the line of progress, and what stopping early leaves behind."""

import json
import os
import pty
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from redstave.app.files import write_whole

ENTRY = "src/redstave/app/demo/orchestra.musicxml"
AT_ONCE = "import redstave.cli.progress as p; p.PATIENCE_S = 0.0; "
RUN = "from redstave.cli import main; main()"


@contextmanager
def terminal() -> Iterator[tuple[int, int]]:
    """A terminal of our own: the end we read from, and the end a command writes to."""
    ours, theirs = pty.openpty()
    try:
        yield ours, theirs
    finally:
        os.close(ours)


def shown(terminal_end: int) -> str:
    """Everything written to a terminal until its other end was closed."""
    text = b""
    while True:
        try:
            piece = os.read(terminal_end, 4096)
        except OSError:  # how a terminal says that nobody writes any more
            break
        if not piece:
            break
        text += piece
    return text.decode("utf-8", "replace")


def run(root: Path, code: str, *words: str) -> tuple["subprocess.CompletedProcess[str]", str]:
    """Run a command whose standard error is a terminal; what it showed there comes second."""
    with terminal() as (ours, theirs):
        done = subprocess.run(
            [sys.executable, "-c", code, *words],
            stdout=subprocess.PIPE, stderr=theirs, text=True, cwd=root, check=False,
        )  # fmt: skip
        os.close(theirs)
        return done, shown(ours)


def test_the_steps_are_told_on_a_terminal(root: Path, tmp_path: Path) -> None:
    """A review that takes its time names its steps on standard error, never on standard output."""
    done, told = run(root, AT_ONCE + RUN, "review", ENTRY, "--out", str(tmp_path))
    assert done.returncode == 0
    for step in ("reading", "players", "hearing", "checks", "engraving"):
        assert step in told
    assert "engraving" not in done.stdout
    assert "What works" in done.stdout


@pytest.mark.parametrize(
    ("code", "words"),
    [(AT_ONCE + RUN, ("hear", ENTRY, "--bars", "3", "--json")), (RUN, ("facts", ENTRY))],
)
def test_no_line_for_data_or_for_short_work(root: Path, code: str, words: tuple[str, ...]) -> None:
    """With --json, and where the work takes less than a second, nothing is told."""
    done, told = run(root, code, *words)
    assert done.returncode == 0
    assert told == ""
    if "--json" in words:
        assert json.loads(done.stdout)["lines"]


def test_no_line_where_standard_error_is_no_terminal(root: Path) -> None:
    """Into a file or a pipe no progress is written."""
    done = subprocess.run(
        [sys.executable, "-c", AT_ONCE + RUN, "review", ENTRY],
        capture_output=True, text=True, cwd=root, check=True,
    )  # fmt: skip
    assert done.stderr == ""


def hears_interrupts() -> None:
    """Undo what a shell does to the programs it starts in the background: it lets them not stop."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)


@pytest.mark.parametrize("step", ["hearing", "engraving"])
def test_stopping_early_leaves_nothing_behind(root: Path, tmp_path: Path, step: str) -> None:
    """Ctrl-C ends with status 2 and one line, without traceback, and leaves no part of a letter."""
    out = tmp_path / "letter"
    code = AT_ONCE + RUN
    with terminal() as (ours, theirs):
        process = subprocess.Popen(
            [sys.executable, "-c", code, "review", ENTRY, "--out", str(out)],
            stdout=subprocess.DEVNULL, stderr=theirs, cwd=root, preexec_fn=hears_interrupts,
        )  # fmt: skip
        os.close(theirs)
        told = ""
        limit = time.monotonic() + 60.0
        while step not in told and time.monotonic() < limit:
            told += os.read(ours, 4096).decode("utf-8", "replace")
        process.send_signal(signal.SIGINT)
        told += shown(ours)
        assert process.wait(30) == 2
    assert "Traceback" not in told
    assert told.count("stopped") == 1
    assert not out.exists() or list(out.iterdir()) == []


def test_a_text_is_written_whole_or_not_at_all(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """When writing is stopped half-way, the older file stays as it was and nothing is left over."""
    path = tmp_path / "letter.html"
    write_whole(path, "first")
    assert path.read_text("utf-8") == "first"

    def half(self: Path, data: bytes) -> None:
        self.write_text(data[:3].decode(), "utf-8")
        raise KeyboardInterrupt

    monkeypatch.setattr(Path, "write_bytes", half)
    with pytest.raises(KeyboardInterrupt):
        write_whole(path, "second")
    assert path.read_text("utf-8") == "first"
    assert [one.name for one in tmp_path.iterdir()] == ["letter.html"]
