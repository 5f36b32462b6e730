"""What a finished letter is made of, before any of it becomes a page."""

from collections.abc import Callable
from dataclasses import dataclass

from redstave.model.grade import GradeSheet
from redstave.model.remark import Remark, RemarkKind, Weight

MOST_MAIN = 5  # main points in one letter (common practice of written feedback, no source)


@dataclass(frozen=True, slots=True)
class Letter:
    """The critique of one entry in the teacher's name.

    `entry` is the code name. `opening` and `next_step` are the teacher's own words; `date` is
    given, never read from a clock. `suggested` names the fields ("opening", "next_step") whose
    words are a proposal of ours, to be marked as such until the teacher has written his own.
    `answered` are remarks on an earlier version that this one has taken up.
    """

    entry: str
    season: str
    teacher: str
    opening: str
    next_step: str
    remarks: tuple[Remark, ...]
    grades: GradeSheet | None = None
    date: str = ""
    closing: str = ""
    suggested: tuple[str, ...] = ()
    answered: tuple[Remark, ...] = ()

    @property
    def strengths(self) -> tuple[Remark, ...]:
        """The remarks that praise, in their order."""
        return self._ordered(lambda one: one.kind is RemarkKind.PRAISE)

    @property
    def main_points(self) -> tuple[Remark, ...]:
        """The main points that are no praise, in their order; a teacher is told above MOST_MAIN."""
        return self._ordered(
            lambda one: one.kind is not RemarkKind.PRAISE and one.weight is Weight.MAIN
        )

    @property
    def smaller_points(self) -> tuple[Remark, ...]:
        """Everything else, by bar."""
        rest = [
            one
            for one in self.remarks
            if one.kind is not RemarkKind.PRAISE and one.weight is Weight.SMALL
        ]
        return tuple(sorted(rest, key=_first_bar))

    @property
    def numbered(self) -> tuple[tuple[int, Remark], ...]:
        """Every remark under the one number it has in every form of the letter, from 1.

        Strengths come first, then the main points, then the smaller ones.
        """
        return tuple(enumerate((*self.strengths, *self.main_points, *self.smaller_points), 1))

    def _ordered(self, wanted: Callable[[Remark], bool]) -> tuple[Remark, ...]:
        return tuple(sorted(filter(wanted, self.remarks), key=lambda one: one.order))


def _first_bar(remark: Remark) -> int:
    return min((spot.bar for spot in remark.spots), default=-1)
