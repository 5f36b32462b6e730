"""A desk on a port of its own, and Chromium to open it with; skipped where there is none."""

import asyncio
import os
import shutil
import socket
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import pytest
import uvicorn
from playwright.sync_api import Browser, ConsoleMessage, Page, expect
from starlette.types import ASGIApp, Receive, Scope, Send

from redstave.app import seasons
from redstave.web.desk import Desk
from redstave.web.factory import make_app
from redstave.web.guard import Access
from redstave.web.serve import listening

DEMO = Path(__file__).parents[2] / "src" / "redstave" / "app" / "demo"
expect.set_options(timeout=15_000)  # ms; a machine that builds and tests is a busy one

#: Every answer to a script comes so much later: `REDSTAVE_SLOW=0.5 pytest tests/browser`.
SLOW_S = float(os.environ.get("REDSTAVE_SLOW", "0"))


@dataclass
class Slow:
    """A desk that keeps the scripts of its pages waiting, as a busy machine does."""

    app: ASGIApp
    served: "Served"

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer, but what a script asks for only after the pause."""
        if (b"sec-fetch-dest", b"empty") in scope.get("headers", ()):
            await asyncio.sleep(self.served.pause_s)
        await self.app(scope, receive, send)


@dataclass
class Served:
    """A running desk: its season, where it answers, and how to stop and start it again."""

    folder: Path
    code: str
    pictures: Path
    access: Access = field(default_factory=Access)
    port: int = 0
    pause_s: float = SLOW_S
    _server: uvicorn.Server | None = None
    _thread: threading.Thread | None = None

    @property
    def root(self) -> str:
        """The address without a slash at its end."""
        return f"http://127.0.0.1:{self.port}"

    def start(self) -> None:
        """Open the season and answer; after a stop with other keys, at the same port."""
        listener: socket.socket = listening("127.0.0.1", self.port)
        self.port = int(listener.getsockname()[1])
        desk = Desk(seasons.open_season(self.folder), self.pictures, painters=1)
        app = Slow(make_app(desk, self.access, port=self.port), self)
        config = uvicorn.Config(app, log_level="error", lifespan="off", ws="none")
        self._server = uvicorn.Server(config)

        def run() -> None:
            assert self._server is not None
            self._server.run(sockets=[listener])
            listener.close()
            desk.close()

        self._thread = threading.Thread(target=run, daemon=True)
        self._thread.start()
        while not self._server.started:
            time.sleep(0.01)

    def stop(self) -> None:
        """Stop answering and close the season."""
        assert self._server is not None
        assert self._thread is not None
        self._server.should_exit = True
        self._server.force_exit = True
        self._thread.join(10)


@pytest.fixture(scope="session")
def template(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str, Path]:
    """Make a season with one computed entry; return its folder, the code and a picture folder."""
    folder = tmp_path_factory.mktemp("browser")
    with seasons.new_season(folder / "season", DEMO / "piano.musicxml") as season:
        code = seasons.add_files(season, [DEMO / "sorrel.tiny"]).codes[0]
        seasons.compute(season)
    return folder / "season", code, folder / "pictures"


@pytest.fixture
def served(template: tuple[Path, str, Path], tmp_path: Path) -> Iterator[Served]:
    """Serve a copy of the season that a test may write into."""
    shutil.copytree(template[0], tmp_path / "season")
    one = Served(tmp_path / "season", template[1], template[2])
    one.start()
    yield one
    one.stop()


@dataclass
class Complaints:
    """What the browser complained of while a test ran."""

    found: list[str] = field(default_factory=list)

    def note(self, message: ConsoleMessage) -> None:
        """Keep errors and warnings; a refused save is the test's own doing."""
        if message.type in ("error", "warning") and "status of 409" not in message.text:
            self.found.append(message.text)


@pytest.fixture
def complaints() -> Complaints:
    """Return the list that a test's page writes its complaints to."""
    return Complaints()


@pytest.fixture
def page(browser: Browser, complaints: Complaints, served: Served) -> Iterator[Page]:
    """Open a fresh window of a 13-inch screen; a script error or a broken policy fails the test.

    It is closed before the desk is, which it would complain of.
    """
    assert served.port
    context = browser.new_context(viewport={"width": 1280, "height": 800})
    one = context.new_page()
    one.set_default_timeout(15_000)
    one.on("console", complaints.note)
    one.on("pageerror", lambda error: complaints.found.append(str(error)))
    yield one
    context.close()
    assert complaints.found == []
