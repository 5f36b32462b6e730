"""A PostgreSQL server for one run of the tests, started from what Debian has installed."""

import os
import pwd
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

DEBIAN = Path("/usr/lib/postgresql")
UNPRIVILEGED = ("postgres", "nobody")  # the server refuses to be run by root


def programs() -> Path | None:
    """Return the folder of PostgreSQL's programs, the newest, None where there are none."""
    found = sorted(DEBIAN.glob("*/bin/initdb"), key=lambda path: int(path.parts[-3]), reverse=True)
    if found:
        return found[0].parent
    on_path = shutil.which("initdb")
    return Path(on_path).parent if on_path else None


@contextmanager
def running(bin_folder: Path) -> Iterator[str]:
    """Run a server without a network in a new folder and yield that: its socket is there."""
    owner = _owner()
    folder = Path(tempfile.mkdtemp(prefix="pg-"))
    if owner:
        os.chown(folder, owner.pw_uid, owner.pw_gid)
    who = {"user": owner.pw_uid, "group": owner.pw_gid} if owner else {}
    data = folder / "data"
    try:
        _run([bin_folder / "initdb", "-D", data, "-U", "teacher", "-A", "trust", "-E", "UTF8",
              "--no-sync", "--no-instructions"], who)  # fmt: skip
        options = f"-c listen_addresses='' -k {folder} -c fsync=off -c shared_buffers=16MB"
        _run([bin_folder / "pg_ctl", "-D", data, "-w", "-t", "60", "-o", options,
              "-l", folder / "log", "start"], who)  # fmt: skip
        try:
            yield str(folder)
        finally:
            _run([bin_folder / "pg_ctl", "-D", data, "-m", "immediate", "-w", "stop"], who)
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _owner() -> pwd.struct_passwd | None:
    """Return who is to run the server where we are root."""
    if os.geteuid() != 0:
        return None
    known = {entry.pw_name: entry for entry in pwd.getpwall()}
    return next(known[name] for name in UNPRIVILEGED if name in known)


def _run(words: list[str | Path], who: dict[str, int]) -> None:
    """Run a program of the server's; what it says is shown where it fails."""
    done = subprocess.run(
        [str(word) for word in words],
        stdin=subprocess.DEVNULL,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
        check=False,
        cwd="/",
        **who,  # type: ignore[call-overload]
    )
    if done.returncode:
        raise RuntimeError(f"{words[0]} failed: {done.stderr}")
