"""Judging evenly: drifts are told by a test that another library agrees with, and only then."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest
from scipy.stats import spearmanr

from redstave import store
from redstave.app import seasons
from redstave.app.desk.evenness_view import evenness_view
from redstave.app.evenness import LEAST, drift, evenness
from redstave.model.grade import Grade
from redstave.store import Season
from tests.app.season_entry import FIRST, signed

EVENLY = [71.0, 64.0, 80.0, 66.0, 77.0, 70.0, 73.0, 68.0]
FALLING = [88.0, 84.0, 85.0, 79.0, 74.0, 70.0, 66.0, 61.0]


@pytest.mark.parametrize("seed", range(6))
def test_chance_is_that_of_scipy(seed: int) -> None:
    """Drawn orders agree with scipy's p-value of Spearman's correlation for thirty entries."""
    drawn = np.random.default_rng(seed)
    values = drawn.normal(70, 8, 30) - 0.25 * np.arange(30)
    found = drift(values.tolist())
    assert found is not None
    assert found.chance == pytest.approx(spearmanr(np.arange(30), values).pvalue, abs=0.015)


def test_the_order_at_hand_is_one_of_six_factorial_with_its_reverse() -> None:
    """Six in falling order: 2 of 720 orders drift as strongly, counted by hand."""
    found = drift([6.0, 5.0, 4.0, 3.0, 2.0, 1.0])
    assert found is not None
    assert found.chance == pytest.approx(2 / 720, abs=0.002)
    assert (found.first, found.second) == (5.0, 2.0)


def test_little_is_told_of_little() -> None:
    """Nothing of fewer than six, nothing of equal values."""
    assert drift([1.0] * (LEAST - 1)) is None
    assert drift([5.0] * 9) is None


@pytest.fixture
def season(tmp_path: Path) -> Iterator[Season]:
    """A season of eight entries that need not be computed."""
    with seasons.new_season(tmp_path / "s", None, "steps") as made:
        for at in range(8):
            tiny = FIRST.replace("B4/1 |.", f"B4/1 | R*{at + 1} |.").replace(
                "F3/1 |.", f"F3/1 | R*{at + 1} |."
            )
            seasons.add_bytes(made, signed(tiny), f"{at}.musicxml")
        yield made


def graded(season: Season, totals: list[float]) -> list[str]:
    """Grade the entries in reverse order of their codes, one each minute; return that order."""
    codes = [entry.code for entry in store.read_entries(season)][::-1]
    start = datetime(2026, 3, 1, tzinfo=UTC)
    for minute, (code, total) in enumerate(zip(codes, totals, strict=False)):
        season._clock = lambda minute=minute: start + timedelta(minutes=minute)  # type: ignore[misc]
        for one in store.read_criteria(season).criteria:
            store.give_grade(season, code, Grade(one.key, total / 100 * one.points), 0)
    return codes


def test_entries_stand_in_the_order_of_grading(season: Season) -> None:
    """The order is that in which they were first graded; a later correction moves nobody."""
    codes = graded(season, FALLING)
    first = store.read_criteria(season).criteria[0]
    store.give_grade(season, codes[0], Grade(first.key, 0.87 * first.points), 1)
    assert [one.code for one in evenness(season).judged] == codes


def test_a_drift_is_told_and_none_is_not(season: Season) -> None:
    """Falling totals ask to read again; even ones say that nothing is to be seen."""
    assert evenness_view(season) is None
    graded(season, FALLING)
    view = evenness_view(season)
    assert view is not None
    assert view["drifts"]
    assert "read one or two of the first again" in view["words"][0]
    assert len(view["dots"]) == len(FALLING)


def test_even_totals_are_left_in_peace(season: Season) -> None:
    """What chance does often is not made much of."""
    graded(season, EVENLY)
    view = evenness_view(season)
    assert view is not None
    assert not view["drifts"]
    assert "nothing is to be seen" in view["words"][0]


def test_few_are_only_counted(season: Season) -> None:
    """Two entries: the page says from how many on it can tell."""
    graded(season, EVENLY[:2])
    view = evenness_view(season)
    assert view is not None
    assert "2 entries are graded in full" in view["words"][0]
