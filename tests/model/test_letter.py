"""A finished letter: which remark stands where, and under which number."""

from redstave.model.finding import Spot
from redstave.model.letter import Letter
from redstave.model.remark import Remark, RemarkKind, Weight


def remark(name: str, kind: RemarkKind, weight: Weight, order: int = 0, bar: int = 0) -> Remark:
    """Return a remark at a bar."""
    spots = (Spot(bar, 0, "P1", 1, bar),)
    return Remark(name, kind, f"The {name}.", spots, weight=weight, order=order)


REMARKS = (
    remark("late", RemarkKind.FIX, Weight.SMALL, bar=9),
    remark("second", RemarkKind.QUESTION, Weight.MAIN, 2),
    remark("early", RemarkKind.WAY_OUT, Weight.SMALL, bar=1),
    remark("first", RemarkKind.FIX, Weight.MAIN, 1, bar=7),
    remark("good", RemarkKind.PRAISE, Weight.SMALL, 5),
)


def test_every_remark_has_one_number() -> None:
    """Strengths come first, main points as ordered, smaller ones by bar; none twice, none lost."""
    letter = Letter("elm", "Autumn", "A teacher", "", "", REMARKS)
    names = [one.id for _, one in letter.numbered]
    assert names == ["good", "first", "second", "early", "late"]
    assert [number for number, _ in letter.numbered] == [1, 2, 3, 4, 5]
