"""Collects what could not be understood, and keeps a damaged file from drowning the reader."""

from collections import Counter

from redstave.model.score import Problem

LIMIT = 100  # problems of one code; beyond it they are counted, not listed


class Problems:
    """The problems of one file in the order in which they were met."""

    def __init__(self) -> None:
        self._listed: list[Problem] = []
        self._counts: Counter[str] = Counter()

    def add(self, code: str, text: str, line: int = 0, bar: str = "", part: str = "") -> None:
        """Report a problem; `text` is one sentence for whoever wrote the score."""
        self._counts[code] += 1
        if self._counts[code] <= LIMIT:
            self._listed.append(Problem(code, text, line, bar, part))

    def copy(self) -> "Problems":
        """Return problems that begin with these."""
        copied = Problems()
        copied._listed = [*self._listed]
        copied._counts = self._counts.copy()
        return copied

    def all(self) -> tuple[Problem, ...]:
        """Return the problems, and one more for each code of which too many were met."""
        more = [
            Problem(
                code,
                f"There are {count - LIMIT} more problems of the kind '{code}'.",
                times=count - LIMIT,
            )
            for code, count in self._counts.items()
            if count > LIMIT
        ]
        return (*self._listed, *more)
