"""The page of grades: evidence beside each criterion, points over a revision, a lock with a log."""

import pytest

from redstave.app.desk import Opened
from redstave.app.desk.grades_page import give, grades_page, lock, unlock
from redstave.base.errors import InputError, StaleError
from redstave.store import Season
from tests.app.desk.conftest import laid_open


@pytest.fixture
def demo_larch(season: Season) -> Opened:
    """The entry whose grades are locked."""
    return laid_open(season, "Larch")


def row(season: Season, opened: Opened, key: str) -> dict[str, object]:
    """Return what the page shows of one criterion."""
    return next(one for one in grades_page(season, opened)["grades"] if one["key"] == key)


def test_evidence_stands_beside_its_criterion(season: Season, juniper: Opened) -> None:
    """Findings of a criterion's families and its remarks, signed; what was decided is marked."""
    heard = row(season, juniper, "heard")
    evidence = heard["evidence"]
    assert isinstance(evidence, list)
    slugs = {one["slug"]: one for one in evidence}
    assert slugs["tune-covered"]["taken"]
    assert not slugs["plucked-line-covered"]["taken"]
    assert slugs["tune-covered"]["sign"] == "!"
    remarks = heard["remarks"]
    assert isinstance(remarks, list)
    assert remarks[0]["text"].startswith("The flute has the tune here")
    playable = row(season, juniper, "playable")["evidence"]
    assert isinstance(playable, list)
    assert any(one["dismissed"] for one in playable)


def test_shares_come_to_a_hundred(season: Season, juniper: Opened) -> None:
    """The weights are told in per cent."""
    assert sum(one["share"] for one in grades_page(season, juniper)["grades"]) == 100


def test_bands_are_ranges_from_the_top(season: Season, juniper: Opened) -> None:
    """Each band reaches from its least points to those of the band above it."""
    bands = row(season, juniper, "heard")["bands"]
    assert isinstance(bands, list)
    assert [(one["at_least"], one["top"]) for one in bands] == [(8, 10), (6, 8), (4, 6), (0, 4)]


def test_points_make_a_band_and_a_total(season: Season) -> None:
    """The total is there once all criteria have points; weights count."""
    given = give(season, "Juniper", "playable", 6.0, "", 0)
    assert (given["band"], given["total"], given["missing"]) == ("sound", None, ["Heard", "Told"])
    assert 'class="given"' in given["scale"]
    give(season, "Juniper", "heard", 4.0, "", 0)
    told = give(season, "Juniper", "told", 10.0, "", 0)
    # 10 % of 8.5, 20 % of 6, 25 % of 4, 25 % of 8, 20 % of 10, out of ten points each
    assert told["total"] == pytest.approx(8.5 + 12 + 10 + 20 + 20)


def test_a_second_window_overwrites_nothing(season: Season) -> None:
    """Points over a revision that is no longer the newest are refused, with both."""
    give(season, "Juniper", "heard", 4.0, "", 0)
    with pytest.raises(StaleError) as stale:
        give(season, "Juniper", "heard", 9.0, "", 0)
    assert "4" in stale.value.theirs


def test_points_can_be_taken_back(season: Season) -> None:
    """Without points a criterion waits again."""
    now = give(season, "Juniper", "heard", 4.0, "", 0)["revision"]
    assert "Heard" in give(season, "Juniper", "heard", None, "", now)["missing"]


def test_grades_lock_once_all_are_given(season: Season) -> None:
    """With points missing the lock is refused in a sentence that names them."""
    with pytest.raises(InputError, match="Playable, Heard, Told wait"):
        lock(season, "Juniper")


def test_a_change_after_locking_needs_a_reason_and_is_logged(
    season: Season, demo_larch: Opened
) -> None:
    """Without a reason nothing changes; with one, the log tells it."""
    revision = row(season, demo_larch, "heard")["revision"]
    assert isinstance(revision, int)
    with pytest.raises(InputError, match="say why"):
        give(season, "Larch", "heard", 8.0, "", revision)
    give(season, "Larch", "heard", 8.0, "", revision, "Heard it again.")
    log = grades_page(season, demo_larch)["log"]
    assert "Heard it again." in log[-1].detail
    assert "7 to 8" in log[-1].detail


def test_unlocking_needs_a_reason(season: Season, demo_larch: Opened) -> None:
    """Unlocked grades change freely again; the log says why they were unlocked."""
    with pytest.raises(InputError, match="say why"):
        unlock(season, "Larch", " ")
    unlock(season, "Larch", "A slip.")
    page = grades_page(season, demo_larch)
    assert not page["locked"]
    assert page["log"][-1].detail == "A slip."
