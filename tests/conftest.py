"""What every test may ask for."""

from pathlib import Path

import pytest
from hypothesis import settings

ROOT = Path(__file__).resolve().parents[1]

# Several test processes share few cores: a slow example is no fault, and a found one must repeat.
settings.register_profile("house", deadline=None, derandomize=True)
settings.load_profile("house")


@pytest.fixture(scope="session")
def root() -> Path:
    """The project's folder."""
    return ROOT


@pytest.fixture(scope="session")
def scores() -> Path:
    """The folder of real scores beside the project; the test is skipped where there is none."""
    folder = ROOT.parent / "shared" / "scores"
    if not folder.is_dir():
        pytest.skip("the real scores are not here (expected in ../shared/scores)")
    return folder
