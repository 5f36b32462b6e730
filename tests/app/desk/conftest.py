"""The demonstration's season, made once; a copy of it for tests that write."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from redstave.app import seasons
from redstave.app.demo_season import demo_season
from redstave.app.desk import Opened
from redstave.store import Season


@pytest.fixture(scope="package")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Make the season; return its folder."""
    folder = tmp_path_factory.mktemp("demo") / "season"
    demo_season(folder).close()
    return folder


def laid_open(season: Season, code: str) -> Opened:
    """Lay an entry open as the desk does."""
    return Opened(
        code,
        seasons.analysis_of(season, code),
        seasons.review_of(season, code),
        seasons.xml_of_entry(season, code),
    )


@pytest.fixture(scope="package")
def juniper(demo: Path) -> Opened:
    """The entry that is half read; it is frozen, so that tests may share it."""
    with seasons.open_season(demo) as season:
        return laid_open(season, "Juniper")


@pytest.fixture
def season(demo: Path, tmp_path: Path) -> Iterator[Season]:
    """A season of one's own, to write into."""
    shutil.copytree(demo, tmp_path / "season")
    with seasons.open_season(tmp_path / "season") as one:
        yield one
