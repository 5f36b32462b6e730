"""A small season to work on."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from redstave import store
from redstave.model.grade import Criteria, Criterion
from redstave.model.season import SeasonFacts

CRITERIA = Criteria(
    "Two criteria",
    (
        Criterion("balance", "Balance", "The tune is heard.", 2.0, 10.0, (), ("balance",)),
        Criterion("page", "The page", "Players are told all they need.", 1.0, 10.0),
    ),
)


@pytest.fixture
def season(tmp_path: Path) -> Iterator[store.Season]:
    """A season with one entry called Juniper."""
    with store.make_season_folder(tmp_path / "season") as made:
        store.write_facts(made, SeasonFacts("Spring"), CRITERIA)
        store.add_version(made, "Juniper", store.keep_bytes(made, b"one"), ".mxl", "secret.mxl")
        yield made
