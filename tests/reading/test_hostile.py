"""Hostile and damaged files: a Score with problems or one line, quickly, and nothing fetched."""

import socket
import threading
from collections.abc import Iterator

import pytest

from tests.reading.hostile.case import Case
from tests.reading.hostile.collection import every_case
from tests.reading.hostile.entities import SECRET
from tests.reading.hostile.limits import MEBIBYTES, SECONDS, outcome

NAMES = [case.name for case in every_case("/s", "http://127.0.0.1:9")]


class Listener:
    """A server on the loopback that only counts who comes."""

    def __init__(self) -> None:
        self.visitors = 0
        self._socket = socket.create_server(("127.0.0.1", 0))
        self.address = f"http://127.0.0.1:{self._socket.getsockname()[1]}"
        self._thread = threading.Thread(target=self._serve, daemon=True)
        self._thread.start()

    def _serve(self) -> None:
        while True:
            try:
                visitor, _ = self._socket.accept()
            except OSError:
                return
            self.visitors += 1
            visitor.close()

    def close(self) -> None:
        """Stop listening."""
        self._socket.shutdown(socket.SHUT_RDWR)
        self._socket.close()
        self._thread.join(5)


@pytest.fixture(scope="module")
def listener() -> Iterator[Listener]:
    """A server that nobody may visit."""
    server = Listener()
    yield server
    server.close()


@pytest.fixture(scope="module")
def cases(listener: Listener, tmp_path_factory: pytest.TempPathFactory) -> dict[str, Case]:
    """Every case by its name, pointing to a secret file and to the listener."""
    secret = tmp_path_factory.mktemp("secret") / "secret.xml"
    secret.write_text(f"<part-name>{SECRET}</part-name>", encoding="utf-8")
    made = every_case(str(secret), listener.address)
    return {case.name: case for case in made}


def test_there_are_many_and_each_has_its_name() -> None:
    """The family holds at least ninety files, and no two of one name."""
    assert len(set(NAMES)) == len(NAMES) >= 90


@pytest.mark.parametrize("name", NAMES)
def test_every_case_ends_well(cases: dict[str, Case], listener: Listener, name: str) -> None:
    """The outcome is the one owed, within 2 s and 500 MiB; nobody was asked, no secret read."""
    case = cases[name]
    found = outcome(case)
    assert found.crash == ""
    assert found.seconds <= SECONDS
    assert found.mebibytes <= MEBIBYTES
    assert SECRET not in found.said + found.error
    assert listener.visitors == 0
    if case.refused or found.error:
        assert "\n" not in found.error
        assert found.error.endswith(".")
        assert case.refused.lower() in found.error.lower()
        assert case.problem == ""
        assert case.notes is None or case.refused
        return
    assert case.problem == "" or case.problem in found.codes
    assert case.notes is None or case.notes == found.notes
