"""What every test may ask for."""

import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

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


QUIET = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-dev-shm-usage",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--autoplay-policy=no-user-gesture-required",
)


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    """Chromium, driven: one for all tests of a process, which can hold only one driver."""
    driver = pytest.importorskip("playwright.sync_api")
    found = shutil.which("chromium") or shutil.which("chromium-browser")
    if found is None:
        pytest.skip("Chromium is not installed")
    with driver.sync_playwright() as play:
        opened = play.chromium.launch(executable_path=found, args=[*QUIET])
        yield opened
        opened.close()
