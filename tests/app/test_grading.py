"""Grades: within their criterion, with evidence, and accountable once locked."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from redstave import store
from redstave.app import seasons
from redstave.app.criteria_file import criteria_of
from redstave.base.errors import InputError
from redstave.checks import catalogue
from redstave.model.remark import RemarkKind, finding_key
from redstave.store import Season
from tests.app.season_entry import FIRST, signed

FAMILIES = {check.family for check in catalogue().values()}


@pytest.fixture
def season(tmp_path: Path) -> Iterator[Season]:
    """A season with one computed entry."""
    with seasons.new_season(tmp_path / "s", None, "steps") as made:
        seasons.add_bytes(made, signed(FIRST), "a.musicxml")
        seasons.compute(made)
        yield made


@pytest.fixture
def code(season: Season) -> str:
    """The code of that entry."""
    return store.read_entries(season)[0].code


def grades(season: Season, code: str) -> dict[str, Any]:
    """The grades of the entry as data."""
    review, score = seasons.review_of(season, code), seasons.score_of(season, code)
    return seasons.grades_json(season, code, review, score)


@pytest.mark.parametrize("name", seasons.STARTERS)
def test_starter_criteria_are_sound(name: str) -> None:
    """Weights add up to 100, the bands begin at 0 and rise, families and checks exist."""
    made = seasons.criteria_named(name)
    assert sum(one.weight for one in made.criteria) == 100
    for one in made.criteria:
        steps = sorted(band.at_least for band in one.bands)
        assert steps[0] == 0
        assert steps[-1] <= one.points
        assert len(set(steps)) == len(steps)
        assert set(one.families) <= FAMILIES | set(catalogue()) | {"origin"}


def test_every_family_speaks_to_a_criterion_of_each_starter_set() -> None:
    """No finding is without a criterion to stand beside."""
    for name in seasons.STARTERS:
        listed = {
            family for one in seasons.criteria_named(name).criteria for family in one.families
        }
        assert listed >= FAMILIES, name


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("name = 'x'", "tables [[criterion]]"),
        ("[[criterion]]\nkey = 'a'", "expected descriptor"),
        ("x = ", "not a file of criteria"),
        (
            "[[criterion]]\nkey='a'\nname='A'\ndescriptor='d'\nweight=0\npoints=5",
            "weight must be a number above 0",
        ),
        (
            "[[criterion]]\nkey='a'\nname='A'\ndescriptor='d'\nweight=1\npoints=5\n"
            "bands=[{name='x', at_least='y', descriptor='z'}]",
            "at_least must be a number",
        ),
        (
            2 * "[[criterion]]\nkey='a'\nname='A'\ndescriptor='d'\nweight=1\npoints=5\n",
            "two criteria",
        ),
    ],
)
def test_faulty_criteria_are_told(text: str, told: str) -> None:
    """One sentence names the place in the file and what was expected."""
    with pytest.raises(InputError) as error:
        criteria_of(text, "mine.toml")
    assert told in str(error.value)
    assert "mine.toml" in str(error.value)


@pytest.mark.parametrize("points", [-0.5, 3.5])
def test_points_stay_within_the_criterion(season: Season, code: str, points: float) -> None:
    """Fewer than none or more than there are cannot be given."""
    with pytest.raises(InputError, match="write 0 to 3"):
        seasons.give(season, code, "technique", points)
    assert grades(season, code)["grades"][0]["points"] is None


def test_evidence_stands_beside_its_criterion(season: Season, code: str) -> None:
    """Findings of the criterion's families are listed, dismissed ones marked, remarks as well."""
    review, score = seasons.review_of(season, code), seasons.score_of(season, code)
    (outside,) = (one for one in review.findings if one.slug == "pitch-outside-instrument")
    seasons.dismiss(season, code, finding_key(outside), review, "an alto flute")
    seasons.own_remark(
        season, code, score, "Well laid out", RemarkKind.PRAISE, "2", "Flute", criterion="technique"
    )
    row = next(one for one in grades(season, code)["grades"] if one["key"] == "technique")
    listed = {one["slug"]: one["dismissed"] for one in row["evidence"]}
    assert listed["pitch-outside-instrument"] is True
    assert all(one["family"] in FAMILIES for one in row["evidence"])
    assert [one["text"] for one in row["remarks"]] == ["Well laid out"]


def test_locked_grades_need_a_reason_and_are_logged(season: Season, code: str) -> None:
    """Locking needs every grade; after it a change needs a reason, and the log keeps it."""
    with pytest.raises(InputError, match="wait for points"):
        seasons.lock(season, code)
    for one in store.read_criteria(season).criteria:
        seasons.give(season, code, one.key, 2)
    seasons.lock(season, code)
    with pytest.raises(InputError, match="--reason"):
        seasons.give(season, code, "score", 3)
    seasons.give(season, code, "score", 3, reason="heard again")
    data = grades(season, code)
    assert data["locked"]
    assert data["total"] == pytest.approx(100 * (0.8 * 2 / 3 + 0.2), abs=0.01)
    assert [line.detail for line in store.read_log(season, code)] == [
        "", "score: 2 to 3; heard again",
    ]  # fmt: skip


def test_bands_are_the_highest_that_the_points_reach(season: Season, code: str) -> None:
    """The band named beside a grade is the one its points have reached."""
    for points, band in ((0, "not yet"), (1.5, "reached"), (3, "with distinction")):
        seasons.give(season, code, "technique", points)
        assert grades(season, code)["grades"][0]["band"] == band
    with pytest.raises(InputError, match="no criterion"):
        seasons.give(season, code, "beauty", 1)
