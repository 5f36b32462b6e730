"""A season with one small entry, and the desk that shows it, without a network."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from starlette.types import ASGIApp

from redstave.app import seasons
from redstave.web.desk import Desk
from redstave.web.factory import make_app
from redstave.web.guard import Access
from tests.web.client import Client

PORT = 8765
ROOT = f"http://127.0.0.1:{PORT}"
EVIL = '"><script>alert(1)</script><img src=x onerror=alert(2)>'

#: One flute far below its compass under a trombone; names and words that want to be markup.
ENTRY = """\
title: TITLE
meter: 4/4
tempo: 96 "Andante"
part NAME | abbr=ABBR
p "WORDS" C3/4 C3 C3 C3 | @A C5/1 | D5/4 E5 F5 G5 | C5/1 |.
part Trombone | clef=bass | abbr=Tbn.
ff C3/1 | C3/1 | C3/1 | C3/1 |.
part Violin I | abbr=Vln.
p C5/4( D5 E5 F5) | G5/1 | R | C5/1 |.
"""


def hostile() -> bytes:
    """Return the entry as MusicXML whose title, names, words and lyrics are markup."""
    from redstave.reading.tiny import to_musicxml

    xml = to_musicxml(ENTRY).decode()
    evil = EVIL.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    for name in ("TITLE", "NAME", "ABBR", "WORDS"):
        xml = xml.replace(name, f"Flute {evil}")
    lyric = f"<lyric><text>{evil}</text></lyric></note>"
    return xml.replace("</note>", lyric, 1).encode()


@pytest.fixture(scope="session")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    """Make a season with one computed entry; return its folder and the entry's code name."""
    folder = tmp_path_factory.mktemp("season")
    with seasons.new_season(folder / "made") as season:
        code = seasons.add_bytes(season, hostile(), "entry.musicxml")
        seasons.compute(season)
    return folder / "made", code


@pytest.fixture
def copy(made: tuple[Path, str], tmp_path: Path) -> tuple[Path, str]:
    """Return a season of one's own, to write into."""
    import shutil

    folder, code = made
    shutil.copytree(folder, tmp_path / "season")
    return tmp_path / "season", code


@pytest.fixture(scope="session")
def pictures(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder for painted systems that all tests share."""
    return tmp_path_factory.mktemp("pictures")


@pytest.fixture
def desk(copy: tuple[Path, str], pictures: Path) -> Iterator[Desk]:
    """Open the desk on a season of one's own."""
    one = Desk(seasons.open_season(copy[0]), pictures, painters=1)
    yield one
    one.close()


@pytest.fixture
def code(copy: tuple[Path, str]) -> str:
    """Return the entry's code name."""
    return copy[1]


@pytest.fixture
def access() -> Access:
    """Return the keys of a desk on loopback: none."""
    return Access()


@pytest.fixture
def app(desk: Desk, access: Access) -> ASGIApp:
    """Return the guarded application."""
    return make_app(desk, access, port=PORT)


@pytest.fixture
def client(app: ASGIApp) -> Iterator[Client]:
    """Return a client that has no token."""
    one = Client(app, ROOT)
    yield one
    one.close()


@pytest.fixture
def teacher(app: ASGIApp, access: Access) -> Iterator[Client]:
    """Return a client that sends the token with everything, as our pages do."""
    one = Client(app, ROOT, {"x-redstave-token": access.token})
    yield one
    one.close()
