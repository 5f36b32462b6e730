"""Opening the desk: addresses, keys, and what is said when it cannot be."""

import socket
import subprocess
import sys
import urllib.error
import urllib.request
from pathlib import Path

import pytest

from redstave.base.errors import InputError
from redstave.web.serve import is_loopback, listening, pictures_folder

COMMAND = [sys.executable, "-c", "from redstave.cli import main; main()", "desk"]


@pytest.mark.parametrize(
    ("host", "near"),
    [
        ("127.0.0.1", True),
        ("127.8.0.1", True),
        ("localhost", True),
        ("::1", True),
        ("0.0.0.0", False),
        ("192.168.1.20", False),
        ("desk.example", False),
    ],
)
def test_what_is_this_machine(host: str, near: bool) -> None:
    """Only addresses of this machine itself need no key."""
    assert is_loopback(host) is near


def test_a_taken_port_is_told() -> None:
    """A port that another program has is told in a sentence that says what to do."""
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        with pytest.raises(InputError, match=r"is taken.*--port"):
            listening("127.0.0.1", other.getsockname()[1])


@pytest.mark.parametrize("port", [-1, 70_000])
def test_a_port_that_is_none_is_told(port: int) -> None:
    """A number that is no port is told in a sentence."""
    with pytest.raises(InputError, match="nothing can listen"):
        listening("127.0.0.1", port)


def test_a_folder_without_a_season_is_told(tmp_path: Path) -> None:
    """`redstave desk` in a folder that holds no season says how to make one, with status 2."""
    done = subprocess.run(
        [*COMMAND, str(tmp_path), "--port", "0", "--no-browser"], capture_output=True, text=True
    )
    assert done.returncode == 2
    assert "there is no season" in done.stderr
    assert "Traceback" not in done.stderr


def test_pictures_stay_out_of_the_season(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Painted systems are kept in the user's cache, where the user says it is."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    assert pictures_folder() == tmp_path / "redstave" / "pictures"


def test_the_command_prints_links_that_work(
    copy: tuple[Path, str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """The teacher's link and the guest's both open the desk; without a key nobody is let in."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    monkeypatch.setenv("PYTHONUNBUFFERED", "1")
    command = [*COMMAND, str(copy[0]), "--port", "0", "--no-browser", "--guest"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as desk:
        assert desk.stdout is not None
        try:
            links = [desk.stdout.readline().split()[-1] for _ in range(2)]
            for link in links:
                assert _status(link) == 200
            assert _status(links[0].partition("?")[0]) == 401
        finally:
            desk.terminate()


def _status(link: str) -> int:
    opener = urllib.request.build_opener(urllib.request.HTTPCookieProcessor())
    try:
        with opener.open(link, timeout=20) as answer:
            return int(answer.status)
    except urllib.error.HTTPError as error:
        with error:
            return int(error.code)
