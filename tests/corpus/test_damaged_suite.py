"""Real files, damaged: any element deleted, doubled, moved, or overwritten still ends well."""

import contextlib
import time
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from lxml import etree

from redstave.base.errors import InputError
from redstave.reading import read_bytes
from tests.reading.test_mutation import STEPS, Change, check_promises

pytestmark = pytest.mark.corpus
LONGEST = 30_000  # bytes; longer files of the suite say nothing else


@pytest.fixture(scope="module")
def files(scores: Path) -> list[bytes]:
    """The shorter files of the suite."""
    found = sorted((scores / "suite").glob("*.xml"))
    return [data for path in found if len(data := path.read_bytes()) <= LONGEST]


@settings(max_examples=250)
@given(which=st.integers(0, 1000), steps=STEPS)
def test_damaged_files_of_the_suite_end_well(
    files: list[bytes], which: int, steps: list[tuple[Change, int, int, str]]
) -> None:
    """The outcome is a Score that keeps its promises or one line, within two seconds."""
    root = etree.fromstring(files[which % len(files)])
    for change, first, second, value in steps:
        change(root, first, second, value)
    data = etree.tostring(root)
    started = time.process_time()
    with contextlib.suppress(InputError):
        check_promises(read_bytes(data, "x.xml"))
    assert time.process_time() - started < 2.0
