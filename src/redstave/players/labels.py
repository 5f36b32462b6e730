"""Words that say who of a shared wind stave plays: "1.", "II.", "a 2", "Solo", "2. Soli"."""

from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Sequence
from functools import lru_cache
from itertools import groupby
from typing import NamedTuple

from redstave.model.score import Mark, Part, Score
from redstave.players.levels import AFTER_ALL
from redstave.players.numbering import player_numbers
from redstave.players.words import senses

COUNTS = {"two": 2, "three": 3, "four": 4}


class Label(NamedTuple):
    """From `tick` on these players of a stave (counted from 0) have what stands there.

    `told` is false when the word only says how many; `side` is "above" or "below" where the word
    stands beside one of two voices; `kind` is "number" ("1."), "count" ("a 2"), or "" (solo, soli).
    """

    tick: int
    players: tuple[int, ...]
    told: bool = True
    side: str = ""
    kind: str = ""


class Labels:
    """The labels of one stave in the order of time."""

    def __init__(self, found: Sequence[Label] = ()) -> None:
        self._found = tuple(sorted(found, key=lambda label: label.tick))
        self._ticks = [label.tick for label in self._found]
        together = (list(ones) for _, ones in groupby(self._found, lambda label: label.tick))
        self._joined = [_joined(ones) for ones in together]
        self._places = [label.tick for label in self._joined]
        # The label asked for last, and the ticks for which it is the last one.
        self._last: tuple[int, int, Label | None] = (0, 0, None)

    def at(self, tick: int) -> Label | None:
        """Return the last labels printed together up to a tick as one, None before the first.

        "1." and "2." at one place name both players.
        """
        since, until, label = self._last
        if since <= tick < until:
            return label
        index = bisect_right(self._places, tick) - 1
        label = self._joined[index] if index >= 0 else None
        ends = (*self._places[index + 1 : index + 2], AFTER_ALL)
        self._last = (label.tick if label else 0, ends[0], label)
        return label

    def printed(self, tick: int) -> Label | None:
        """Return the label that stands alone at this very tick, None without one."""
        label = self.at(tick)
        return label if label is not None and label.tick == tick and self._single(tick) else None

    def _single(self, tick: int) -> bool:
        first = bisect_left(self._ticks, tick)
        return self._ticks[first + 1 : first + 2] != [tick]

    def beside(self, tick: int, side: str) -> Label | None:
        """Return the last label on one side of the stave up to a tick, None if there is none."""
        for at in range(bisect_right(self._ticks, tick) - 1, -1, -1):
            if self._found[at].side == side:
                return self._found[at]
        return None


def _joined(together: Sequence[Label]) -> Label:
    if len(together) == 1:
        return together[0]
    players = tuple(sorted({player for label in together for player in label.players}))
    return Label(together[0].tick, players, all(label.told for label in together))


def labels(score: Score, part: Part, numbers: tuple[int, ...]) -> dict[int, list[Label]]:
    """Return the labels of each stave; `numbers` are those of its players, from the top."""
    found: dict[int, list[Label]] = defaultdict(list)
    for mark in part.marks:
        if mark.kind == "word" or (mark.kind == "level" and mark.name == "other-dynamics"):
            label = _label(score, mark, numbers)
            if label is not None:
                found[mark.stave or 1].append(label)
    return found


def _label(score: Score, mark: Mark, numbers: tuple[int, ...]) -> Label | None:
    read = read_label(mark.text, numbers)
    if read is None:
        return None
    tick = score.tick(mark.bar, mark.offset)
    return Label(tick, *read, side=mark.placement, kind=_kind(mark.text, numbers))


def _kind(text: str, numbers: tuple[int, ...]) -> str:
    if player_numbers(text, numbers):
        return "number"
    counts = any(sense.meaning in COUNTS for sense in senses(text, "sharing"))
    return "count" if counts else ""


@lru_cache(maxsize=20_000)
def read_label(text: str, numbers: tuple[int, ...]) -> tuple[tuple[int, ...], bool] | None:
    """Return the players a text names, counted from 0, and whether it says which; None if none.

    "Solo" without a number is the first player's, "Soli" everyone's (common practice, no source).
    """
    named = player_numbers(text, numbers)
    if named:
        return tuple(numbers.index(number) for number in named), True
    everyone = tuple(range(len(numbers)))
    meanings = {sense.meaning for sense in senses(text, "sharing")}
    counts = [COUNTS[meaning] for meaning in COUNTS if meaning in meanings]
    if counts:
        return everyone[: counts[0]], counts[0] >= len(numbers)
    if meanings & {"all", "soli"}:
        return everyone, True
    return ((0,), True) if "solo" in meanings else None
