"""Reviews only grow, and what they rest on is kept with them."""

import pytest
from sqlalchemy import text
from sqlalchemy.exc import DBAPIError

from redstave import store
from redstave.model.finding import Claim, Evidence, Finding, NotAssessed, Spot
from redstave.model.remark import finding_key
from redstave.model.review import Provenance, Review
from redstave.store import Season

FINDING = Finding(
    "tune-covered",
    (Spot(3, 96, "P1", 1, 4, ("P1.3.0", "P1.3.1")), Spot(9, 0, "P1", 2, 9)),
    (Evidence("margin", -3.25, "dB", 0), Evidence("written pitch", "C3", "", "E3")),
    (("part", "Flöte"),),
    Claim.RISK,
    ("P2",),
)


def review_with(*settings: tuple[str, str, float], redstave: str = "0.1.0") -> Review:
    """A review of one finding under the settings given."""
    provenance = Provenance(
        "Juniper.mxl", "ab", "mxl", redstave, "2026-1", "14.12.10.8.6", "hall", "conservatoire",
        settings, ("tune-covered",),
    )  # fmt: skip
    return Review(
        "Juniper", "Spring", provenance, (FINDING,), (NotAssessed("tempo", "none"),), ("range",),
        ways=((0, ("Horns p.",)),),
    )  # fmt: skip


def test_a_review_comes_back_as_it_was(season: Season) -> None:
    """Findings, evidence, ways out and provenance come back equal, types and all."""
    store.add_review(season, "Juniper", 1, review_with(("tune-covered", "least_chance", 0.8)))
    kept = store.newest_review(season, "Juniper")
    assert kept is not None
    assert kept.review == review_with(("tune-covered", "least_chance", 0.8))
    assert kept.review.ways_of(kept.review.findings[0]) == ("Horns p.",)
    assert [type(one.limit) for one in kept.review.findings[0].evidence] == [int, str]


def test_a_moved_threshold_or_a_new_program_makes_another_review(season: Season) -> None:
    """Each provenance has its own review, and the older ones stay."""
    first = store.add_review(season, "Juniper", 1, review_with())
    moved = store.add_review(season, "Juniper", 1, review_with(("tune-covered", "x", 1.0)))
    newer = store.add_review(season, "Juniper", 1, review_with(redstave="0.2.0"))
    assert [one.id for one in store.read_reviews(season, "Juniper")] == [first, moved, newer]
    newest = store.newest_review(season, "Juniper")
    assert newest is not None
    assert newest.id == newer


def test_what_was_made_last_is_the_newest(season: Season) -> None:
    """The newest once more is not doubled; a threshold put back brings its review back on top."""
    first = store.add_review(season, "Juniper", 1, review_with())
    moved = store.add_review(season, "Juniper", 1, review_with(("tune-covered", "x", 1.0)))
    assert store.add_review(season, "Juniper", 1, review_with(("tune-covered", "x", 1.0))) == moved
    back = store.add_review(season, "Juniper", 1, review_with())
    assert [one.id for one in store.read_reviews(season, "Juniper")] == [first, moved, back]
    newest = store.newest_review(season, "Juniper")
    assert newest is not None
    assert newest.review == review_with()


def test_a_new_version_has_no_review_yet(season: Season) -> None:
    """The newest review is that of the newest version; that of an older one can still be read."""
    store.add_review(season, "Juniper", 1, review_with())
    store.add_version(season, "Juniper", store.keep_bytes(season, b"two"), ".mxl", "b.mxl")
    assert store.newest_review(season, "Juniper") is None
    assert store.newest_review(season, "Juniper", 1) is not None


def test_findings_can_be_asked_for(season: Season) -> None:
    """The columns beside the text say what the text says."""
    store.add_review(season, "Juniper", 1, review_with())
    with season.reading() as db:
        (row,) = db.execute(text("SELECT * FROM finding")).all()
    assert (row.key, row.slug, row.claim) == (finding_key(FINDING), "tune-covered", "risk")
    assert (row.first_bar, row.last_bar, row.places) == (3, 9, 2)


@pytest.mark.parametrize("statement", ["UPDATE review SET body = ''", "DELETE FROM finding"])
def test_the_database_refuses_to_change_a_review(season: Season, statement: str) -> None:
    """Not even a statement of one's own changes a review."""
    store.add_review(season, "Juniper", 1, review_with())
    with pytest.raises(DBAPIError, match="only grows"), season.writing() as db:
        db.execute(text(statement))
