"""The order of a letter: claims, kinds, places; a fault is taught once."""

from redstave.model.finding import Claim
from redstave.render.arrange import MOST_SHOWN, sections, works
from redstave.render.summary import counted, summary
from tests.render.views import review


def test_the_same_fault_is_one_kind_with_its_places() -> None:
    """Five entries without a level are one matter: some shown, the rest listed, none lost."""
    risks = next(one for one in sections(review()) if one.claim == Claim.RISK)
    entries = next(kind for kind in risks.kinds if kind.anchor == "risk-entry-level-missing")
    assert len(entries.shown) == MOST_SHOWN
    assert entries.total == 5
    anchors = [remark.anchor for remark in (*entries.shown, *entries.listed)]
    assert anchors == sorted(anchors)


def test_kinds_are_numbered_through() -> None:
    """Numbers run over all sections without a gap; what works has none."""
    numbers = [kind.number for section in sections(review()) for kind in section.kinds]
    assert numbers == ["1", "2", "3", "4"]
    assert [kind.number for kind in works(review())] == [""]


def test_no_remark_is_lost_or_doubled() -> None:
    """Every remark of the review stands in exactly one kind."""
    view = review()
    found = [
        remark.anchor
        for section in sections(view)
        for kind in section.kinds
        for remark in (*kind.shown, *kind.listed)
    ]
    assert sorted(found) == sorted(remark.anchor for remark in view.remarks)


def test_the_summary_counts_what_is_there() -> None:
    """The paragraph at the head names each claim with its number, in words where small."""
    text = summary(review(), sections(review()))
    assert "one place that cannot be played as written, six risks and one question" in text
    assert "four different matters" in text
    assert "one thing well worth keeping" in text
    assert "One check could not judge" in text


def test_small_numbers_are_words() -> None:
    """Up to ten in words, then in figures; the singular for one."""
    assert counted(1, "risk", "risks") == "one risk"
    assert counted(10, "risk", "risks") == "ten risks"
    assert counted(11, "risk", "risks") == "11 risks"
