"""Bars as a musician names them: by the number that is printed, with a count where it repeats."""

import re
from collections import defaultdict
from functools import cached_property

from redstave.base.errors import InputError
from redstave.model.score import Score
from redstave.render.wording import bar_name

COUNTED = re.compile(r"(.+?)\s*\((\d+)\)")


class BarNames:
    """The names of the bars of a score: "12", or "12 (2)" for the second bar with that number.

    `piece` is what the score is called in sentences, such as "the entry".
    """

    def __init__(self, score: Score, piece: str) -> None:
        self._printed = tuple(bar_name(bar.index, score) for bar in score.bars)
        self._piece = piece

    @cached_property
    def _places(self) -> dict[str, list[int]]:
        found: dict[str, list[int]] = defaultdict(list)
        for at, number in enumerate(self._printed):
            found[number].append(at)
        return dict(found)

    @cached_property
    def all(self) -> tuple[str, ...]:
        """The name of every bar, in order; no two are equal."""
        return tuple(map(self.name, range(len(self._printed))))

    def name(self, bar: int) -> str:
        """Return the name of a bar (index)."""
        number = self._printed[bar]
        places = self._places[number]
        return number if len(places) == 1 else f"{number} ({places.index(bar) + 1})"

    def index(self, text: str) -> int:
        """Return the bar (index) of a name; InputError where there is none, or more than one."""
        number, count = " ".join(text.split()), 0
        counted = COUNTED.fullmatch(number)
        if counted and number not in self._places:
            number, count = counted[1], int(counted[2])
        places = self._places.get(number)
        if not places:
            raise InputError(
                f"there is no bar {text.strip()} in {self._piece}; "
                f"its bars go from {self.all[0]} to {self.all[-1]}"
            )
        if len(places) == 1 and count <= 1:
            return places[0]
        if not 1 <= count <= len(places):
            raise InputError(
                f"{len(places)} bars of {self._piece} have the number {number}; "
                f'write "{number} (1)" for the first of them, "{number} (2)" for the second'
            )
        return places[count - 1]

    def range(self, text: str) -> tuple[int, int]:
        """Return the first and last bar (indices) of "9-12" or "9"; InputError as above."""
        begin, dash, end = text.replace("–", "-").partition("-")
        if not begin.strip() or (dash and not end.strip()):
            raise InputError(f'"{text.strip()}" names no bars; write such as 9-12, or 9')
        first = self.index(begin)
        last = self.index(end) if dash else first
        if first > last:
            raise InputError(
                f"bar {begin.strip()} comes after bar {end.strip()}; write the earlier bar first"
            )
        return first, last

    def words(self, first: int, last: int) -> str:
        """Return "bar 9", or "bars 9-12", as it can be read again."""
        if first == last:
            return f"bar {self.name(first)}"
        return f"bars {self.name(first)}-{self.name(last)}"
