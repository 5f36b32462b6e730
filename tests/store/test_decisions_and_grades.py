"""Decisions, grades, phrases and settings: the last one counts, the earlier ones stay."""

import pytest

from redstave import store
from redstave.base.errors import InputError, StaleError
from redstave.model.grade import Grade
from redstave.model.phrase import Phrase
from redstave.model.remark import Decision, RemarkKind
from redstave.model.season import Judged
from redstave.store import Season


def test_the_last_decision_counts(season: Season) -> None:
    """A finding can be judged again; taking a decision back leaves it open."""
    for decision in (Decision.ACCEPTED, Decision.DISMISSED):
        store.decide(season, "Juniper", Judged("k1", "tune-covered", decision, "why"))
    store.decide(season, "Juniper", Judged("k2", "tune-covered", Decision.ACCEPTED))
    store.decide(season, "Juniper", Judged("k2", "tune-covered", Decision.OPEN))
    judged = store.decisions(season, "Juniper")
    assert {key: one.decision for key, one in judged.items()} == {"k1": Decision.DISMISSED}
    assert judged["k1"].reason == "why"


def test_acceptance_counts_each_finding_once_over_all_entries(season: Season) -> None:
    """Per check: what was used and what was dismissed, by the decision that counts."""
    store.add_version(season, "Elm", store.keep_bytes(season, b"elm"), ".mxl", "elm.mxl")
    for code, key, decision in (
        ("Juniper", "a", Decision.DISMISSED),
        ("Juniper", "a", Decision.ACCEPTED),
        ("Juniper", "b", Decision.REWORDED),
        ("Elm", "a", Decision.DISMISSED),
        ("Elm", "c", Decision.OPEN),
    ):
        store.decide(season, code, Judged(key, "tune-covered", decision))
    (fared,) = store.acceptance(season)
    assert (fared.accepted, fared.reworded, fared.merged, fared.dismissed) == (1, 1, 0, 1)
    assert fared.share == pytest.approx(2 / 3)


def test_grades_give_a_total_once_complete(season: Season) -> None:
    """The total is weighted, and there is none before every criterion has its points."""
    store.give_grade(season, "Juniper", Grade("balance", 8.0, "clear"), 0)
    assert store.read_sheet(season, "Juniper").total is None
    store.give_grade(season, "Juniper", Grade("page", 5.0), 0)
    sheet = store.read_sheet(season, "Juniper")
    assert sheet.total == pytest.approx(100 * (2 / 3 * 0.8 + 1 / 3 * 0.5))
    assert sheet.grades[0].note == "clear"
    store.take_grade_back(season, "Juniper", "page", 1)
    assert store.read_sheet(season, "Juniper").total is None


def test_a_stale_grade_is_refused_and_kept(season: Season) -> None:
    """A grade given over an older one than the newest changes nothing and is kept beside."""
    store.give_grade(season, "Juniper", Grade("page", 5.0), 0)
    with pytest.raises(StaleError):
        store.give_grade(season, "Juniper", Grade("page", 7.0, "note"), 0)
    assert store.read_sheet(season, "Juniper").grades == (Grade("page", 5.0),)
    assert [one.text for one in store.texts_set_aside(season, "Juniper")] == ["7 note"]
    assert store.grade_revisions(season, "Juniper") == {"page": 1}


def test_changes_after_locking_are_logged(season: Season) -> None:
    """Before locking nothing is logged; after it every change is, with old, new and reason."""
    store.give_grade(season, "Juniper", Grade("page", 5.0), 0)
    assert store.read_log(season) == ()
    store.lock_grades(season, "Juniper", by="A. T.")
    store.give_grade(season, "Juniper", Grade("page", 6.0), 1, reason="heard it again")
    store.take_grade_back(season, "Juniper", "page", 2)
    store.unlock_grades(season, "Juniper", reason="new version")
    log = store.read_log(season, "Juniper")
    assert [(line.what, line.detail) for line in log] == [
        ("grades locked", ""),
        ("grade changed after locking", "page: 5 to 6; heard it again"),
        ("grade changed after locking", "page: 6 to none"),
        ("grades unlocked", "new version"),
    ]
    assert not store.read_sheet(season, "Juniper").locked


def test_phrases_keep_their_counts(season: Season) -> None:
    """Counting uses and writing a phrase anew leaves the counts of wordings that stay."""
    phrase = Phrase("lost", RemarkKind.QUESTION, ("one {bars}", "two"), ("tune-covered",), ("b",))
    store.write_phrases(season, [phrase])
    store.count_use(season, "lost", 1)
    store.write_phrases(season, [Phrase("lost", RemarkKind.FIX, ("two", "three"))])
    assert store.read_phrases(season) == (
        Phrase("lost", RemarkKind.FIX, ("two", "three"), (), (), (1, 0)),
    )
    store.remove_phrase(season, "lost")
    with pytest.raises(InputError, match="phrases list"):
        store.remove_phrase(season, "lost")


def test_settings_are_moved_and_put_back_and_logged(season: Season) -> None:
    """Thresholds and switches of the season can be set and taken back, and the log says so."""
    store.move_threshold(season, "tune-covered", "least_chance", 0.7)
    store.move_threshold(season, "tune-covered", "least_chance", 0.8)
    store.switch_check(season, "nested-arcs", False)
    assert store.thresholds(season) == {"tune-covered": {"least_chance": 0.8}}
    assert store.switches(season) == {"nested-arcs": False}
    store.move_threshold(season, "tune-covered", "least_chance", None)
    store.switch_check(season, "nested-arcs", None)
    assert (store.thresholds(season), store.switches(season)) == ({}, {})
    assert [line.detail for line in store.read_log(season)][:2] == [
        "tune-covered least_chance: default to 0.7",
        "tune-covered least_chance: 0.7 to 0.8",
    ]
