"""Lessons: what most entries share stands first, and what was dismissed does not count."""

from redstave import store
from redstave.app import seasons
from redstave.app.desk.lessons_page import lessons_page
from redstave.model.finding import Claim
from redstave.model.remark import finding_key
from redstave.store import Season


def test_every_finding_that_stands_counts_once(season: Season) -> None:
    """Altogether as many as all reviews hold, less what was dismissed."""
    page = lessons_page(season)
    assert page["computed"] == 4
    held = dismissed = 0
    for entry in store.read_entries(season):
        keys = {finding_key(one) for one in seasons.review_of(season, entry.code).findings}
        judged = store.decisions(season, entry.code)
        held += len(keys)
        dismissed += sum(str(judged[key].decision) == "dismissed" for key in keys & judged.keys())
    assert sum(row["many"] for row in page["faults"] + page["earned"]) == held - dismissed


def test_what_most_share_stands_first(season: Season) -> None:
    """Rows are in the order of how many entries they concern; credits stand by themselves."""
    page = lessons_page(season)
    for rows in (page["faults"], page["earned"]):
        shares = [len(row["places"]) for row in rows]
        assert shares == sorted(shares, reverse=True)
    assert all(row["claim"] is not Claim.CREDIT for row in page["faults"])
    assert all(row["claim"] is Claim.CREDIT for row in page["earned"])


def test_a_dismissed_finding_is_no_lesson(season: Season) -> None:
    """Dismissed in its only entry, a check is no longer in the list."""
    rows = {row["slug"]: row for row in lessons_page(season)["faults"]}
    row = rows["plucked-line-covered"]
    (place,) = row["places"]
    assert place.code == "Juniper"
    review = seasons.review_of(season, "Juniper")
    seasons.dismiss(season, "Juniper", place.key, review, "Heard in the hall.")
    assert "plucked-line-covered" not in {one["slug"] for one in lessons_page(season)["faults"]}
