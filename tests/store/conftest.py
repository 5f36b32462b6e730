"""A small season to work on, kept in a file and in a PostgreSQL server."""

from collections.abc import Callable, Iterator
from itertools import count
from pathlib import Path

import pytest
from sqlalchemy import create_engine, text

from redstave import store
from redstave.model.grade import Criteria, Criterion
from redstave.model.season import SeasonFacts
from tests.store import postgres

CRITERIA = Criteria(
    "Two criteria",
    (
        Criterion("balance", "Balance", "The tune is heard.", 2.0, 10.0, (), ("balance",)),
        Criterion("page", "The page", "Players are told all they need.", 1.0, 10.0),
    ),
)
NUMBERS = count(1)


@pytest.fixture(scope="session")
def server() -> Iterator[str]:
    """The folder of a PostgreSQL server's socket; skipped where none is installed."""
    programs = postgres.programs()
    if programs is None:
        pytest.skip("PostgreSQL is not installed (Debian: postgresql)")
    with postgres.running(programs) as folder:
        yield folder


@pytest.fixture
def new_database(server: str) -> Iterator[Callable[[], str]]:
    """A function that makes a database on the server and returns its address."""
    engine = create_engine(
        f"postgresql+psycopg://teacher@/postgres?host={server}", isolation_level="AUTOCOMMIT"
    )

    def make() -> str:
        name = f"season{next(NUMBERS)}"
        with engine.connect() as connection:
            connection.execute(text(f"CREATE DATABASE {name}"))
        return f"postgresql+psycopg://teacher@/{name}?host={server}"

    yield make
    engine.dispose()


@pytest.fixture(params=["a file", "PostgreSQL"])
def season(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[store.Season]:
    """A season with one entry called Juniper; every test that takes it runs on both."""
    url = request.getfixturevalue("new_database")() if request.param == "PostgreSQL" else ""
    with store.make_season_folder(tmp_path / "season", url) as made:
        yield begun(made)


@pytest.fixture
def in_a_file(tmp_path: Path) -> Iterator[store.Season]:
    """The same season in a file only, for what is SQLite's own."""
    with store.make_season_folder(tmp_path / "season") as made:
        yield begun(made)


def begun(season: store.Season) -> store.Season:
    """Write what a season begins with, and one entry."""
    store.write_facts(season, SeasonFacts("Spring"), CRITERIA)
    store.add_version(season, "Juniper", store.keep_bytes(season, b"one"), ".mxl", "secret.mxl")
    return season
