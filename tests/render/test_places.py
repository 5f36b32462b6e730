"""Which bars and staves are shown for a finding."""

from redstave.render.excerpt import LONGEST
from redstave.render.places import MOST_EXCERPTS, MOST_PARTS, requests
from tests.render.views import finding, score, spot


def test_a_single_bar_is_shown_with_the_bar_before() -> None:
    """An entry is seen after its rest; the first bar of the piece stands alone."""
    (shown,) = requests(finding("x", spot(4, 4, "P1", "P1.4.0")), score())
    assert (shown.first, shown.last) == (3, 4)
    (first,) = requests(finding("x", spot(0, 0, "P1", "P1.0.0")), score())
    assert (first.first, first.last) == (0, 0)


def test_near_places_share_an_excerpt_and_far_ones_do_not() -> None:
    """Places within six bars stand together; of many stretches the first two are shown."""
    found = requests(finding("x", *(spot(bar) for bar in (0, 5, 10, 20, 29))), score(30))
    assert [(one.first, one.last) for one in found] == [(0, 5), (9, 10)]
    assert len(found) == MOST_EXCERPTS
    assert all(one.last - one.first < LONGEST for one in found)


def test_places_with_notes_are_ringed_others_bracketed() -> None:
    """Notes are passed on as they are; a place without notes is its bars on its stave."""
    (shown,) = requests(finding("x", spot(1, 2, "P2"), spot(1, 1, "P1", "P1.1.0")), score())
    assert shown.notes == ("P1.1.0",)
    assert shown.brackets == ((1, "P2", 1), (2, "P2", 1))
    assert "bars 2–3" in shown.title.lower()
    assert "Flute 1. 2 and Clarinet in B-flat" in shown.title


def test_those_who_cover_are_shown_where_they_sound() -> None:
    """Parts named beside the finding join it, unless they rest in those bars."""
    sounding = {"P2": frozenset({1}), "P3": frozenset({5})}
    found = finding("x", spot(1, 1, "P1", "P1.1.0"))
    (shown,) = requests(found, score(), ("P2", "P3"), sounding)
    assert shown.parts == ("P1", "P2")


def test_no_excerpt_is_taller_than_a_page() -> None:
    """However many parts are concerned, only so many are shown."""
    spots = [spot(0, 0, f"P{n}") for n in range(1, 21)]
    (shown,) = requests(finding("x", *spots), score(3, tuple(f"Line {n}" for n in range(20))))
    assert len(shown.parts) == MOST_PARTS
