"""Lessons: what most entries share stands first, and what was dismissed does not count."""

from redstave import store
from redstave.app import seasons
from redstave.app.desk.lessons_page import lessons_page
from redstave.app.lessons import lessons, shared_places
from redstave.model.finding import Claim, Finding, Spot
from redstave.model.match import NO_BAR
from redstave.model.remark import finding_key
from redstave.model.review import Provenance, Review
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


def test_every_hard_place_is_in_the_entries_it_names(season: Season) -> None:
    """Each entry named has a finding of that check in bars that stand for those of the piece."""
    found = lessons(season)
    assert found.placed == 4
    assert found.places
    for place in found.places:
        assert len(place.met) >= 2
        for met, there in zip(place.met, place.there, strict=True):
            review = seasons.review_of(season, met.code)
            assert review.beside is not None
            assert place.first <= review.beside[there] <= place.last
            spots = [
                spot
                for one in review.findings
                if one.slug == place.slug
                for spot in one.spots
                if any(
                    place.first <= review.beside[bar] <= place.last
                    for bar in range(spot.bar, spot.last_bar + 1)
                )
            ]
            assert spots


def test_the_places_of_two_entries_that_begin_elsewhere_are_one() -> None:
    """Bars are those of the piece: an entry with two more bars at its head has its fault there."""
    early = _review("Early", (0, 1, 2, 3), Spot(2, 0, "P1", 1, 2))
    late = _review("Late", (NO_BAR, NO_BAR, 0, 1, 2, 3), Spot(4, 0, "P1", 1, 4))
    (place,) = shared_places([("Early", early), ("Late", late)])
    assert (place.first, place.last, place.there) == (2, 2, (2, 4))


def test_what_goes_on_for_long_is_no_place() -> None:
    """Nine bars of one finding in both entries are a habit."""
    bars = tuple(range(12))
    both = [(code, _review(code, bars, Spot(1, 0, "P1", 1, 9))) for code in ("One", "Other")]
    assert shared_places(both) == []


def _review(code: str, beside: tuple[int, ...], spot: Spot) -> Review:
    finding = Finding("tune-covered", (spot,), ())
    rests_on = Provenance(code, "", "", "", "", "", "", "", (), ())
    return Review(code, code, rests_on, (finding,), (), (), beside=beside)
