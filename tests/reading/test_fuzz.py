"""The fuzz target itself: it tries many files, and a crash would be seen."""

import pytest

from fuzz.reading import at_random, seeds, try_one


def test_a_few_seconds_end_well() -> None:
    """Random changes to the seeds end in a Score or in one line."""
    assert at_random(2.0, try_one) > 10


def test_a_crash_would_be_seen() -> None:
    """Whatever the attempt raises comes out."""

    def broken(data: bytes) -> None:
        raise ZeroDivisionError(len(data))

    with pytest.raises(ZeroDivisionError):
        at_random(1.0, broken)
    assert all(seeds())
