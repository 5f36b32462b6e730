"""The difference a change makes: told by check, the same place never counted as new."""

from tools.corpus_diff import Told, report


def one(slug: str, bar: str) -> Told:
    """Return a finding at one bar."""
    return Told("Piece", slug, "risk", ((bar, "P1"),))


def test_the_same_findings_are_no_difference() -> None:
    """Equal sets give one sentence."""
    assert report({one("a", "1")}, {one("a", "1")}, 5) == "no difference: 1 findings in both"


def test_appeared_and_vanished_are_counted_by_check() -> None:
    """A finding that moves from one bar to another has appeared once and vanished once."""
    text = report({one("a", "1"), one("b", "1")}, {one("a", "2"), one("b", "1")}, 5)
    assert "| a | 1 | 1 | 1 | 1 |" in text
    assert "| b |" not in text
    assert "+ Piece: a (risk), bar 2, P1" in text
    assert "- Piece: a (risk), bar 1, P1" in text


def test_samples_are_limited_for_each_check() -> None:
    """With --show 1 one sample of each check and sign is printed."""
    text = report(set(), {one("a", str(bar)) for bar in range(9)}, 1)
    assert text.count("+ Piece") == 1
    assert "| a | 0 | 9 | 9 | 0 |" in text
