"""Published criteria and the grades given on them."""

from dataclasses import dataclass
from typing import NamedTuple


class Band(NamedTuple):
    """A step of a criterion: its name, the least points that reach it, and what it looks like."""

    name: str
    at_least: float
    descriptor: str


@dataclass(frozen=True, slots=True)
class Criterion:
    """One published criterion. `weight` is its share of the total, `points` the most it can earn.

    `families` are the families of checks, or single checks, whose findings are listed as evidence
    beside it.
    """

    key: str
    name: str
    descriptor: str
    weight: float
    points: float
    bands: tuple[Band, ...] = ()
    families: tuple[str, ...] = ()

    def band(self, points: float) -> Band | None:
        """Return the highest band that the points reach."""
        reached = [band for band in self.bands if points >= band.at_least]
        return max(reached, key=lambda band: band.at_least, default=None)


@dataclass(frozen=True, slots=True)
class Criteria:
    """The criteria of a season, under the name they are published by."""

    name: str
    criteria: tuple[Criterion, ...]


@dataclass(frozen=True, slots=True)
class Grade:
    """The teacher's points on one criterion, with a note."""

    criterion: str
    points: float
    note: str = ""


@dataclass(frozen=True, slots=True)
class GradeSheet:
    """All grades of one entry. `locked` grades change only with an entry in the log."""

    criteria: Criteria
    grades: tuple[Grade, ...] = ()
    locked: bool = False

    @property
    def complete(self) -> bool:
        """Whether every criterion has its grade."""
        given = {grade.criterion for grade in self.grades}
        return all(criterion.key in given for criterion in self.criteria.criteria)

    @property
    def total(self) -> float | None:
        """The weighted total from 0 to 100; None until every criterion has its grade."""
        if not self.complete:
            return None
        given = {grade.criterion: grade.points for grade in self.grades}
        whole = sum(criterion.weight for criterion in self.criteria.criteria)
        return 100.0 * sum(
            criterion.weight / whole * given[criterion.key] / criterion.points
            for criterion in self.criteria.criteria
        )
