"""Words that say who of a shared wind stave plays: "1.", "II.", "a 2", "Solo", "2. Soli"."""

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from redstave.model.score import Mark, Part, Score
from redstave.players.numbering import player_numbers
from redstave.players.words import senses

COUNTS = {"two": 2, "three": 3, "four": 4}


class Label(NamedTuple):
    """From `tick` on these players of a stave (counted from 0) have what stands there.

    `told` is false when the word only says how many; `side` is "above" or "below" where the word
    stands beside one of two voices.
    """

    tick: int
    players: tuple[int, ...]
    told: bool = True
    side: str = ""


Labels = Mapping[int, tuple[Label, ...]]  # by stave, in the order of time


def labels(score: Score, part: Part, numbers: Sequence[int]) -> dict[int, tuple[Label, ...]]:
    """Return the labels of a stave by stave; `numbers` are those of its players, from the top."""
    found: dict[int, list[Label]] = defaultdict(list)
    for mark in part.marks:
        if mark.kind == "word" or (mark.kind == "level" and mark.name == "other-dynamics"):
            label = _label(score, mark, numbers)
            if label is not None:
                found[mark.stave or 1].append(label)
    return {stave: tuple(sorted(ones, key=_tick)) for stave, ones in found.items()}


def _label(score: Score, mark: Mark, numbers: Sequence[int]) -> Label | None:
    read = read_label(mark.text, numbers)
    if read is None:
        return None
    return Label(score.tick(mark.bar, mark.offset), *read, side=mark.placement)


def read_label(text: str, numbers: Sequence[int]) -> tuple[tuple[int, ...], bool] | None:
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


def labels_at(told: Sequence[Label], tick: int) -> tuple[Label, ...]:
    """Return the last labels printed together up to a tick; () before the first."""
    stop = bisect_right(told, tick, key=_tick)
    if not stop:
        return ()
    return tuple(label for label in told[:stop] if label.tick == told[stop - 1].tick)


def label_beside(told: Sequence[Label], tick: int, side: str) -> Label | None:
    """Return the last label on one side of the stave up to a tick, None if there is none."""
    before = told[: bisect_right(told, tick, key=_tick)]
    return next((label for label in reversed(before) if label.side == side), None)


def together(found: Sequence[Label]) -> Label:
    """Return labels printed at one place as one: "1." and "2." name both players."""
    players = tuple(sorted({player for label in found for player in label.players}))
    return Label(found[0].tick, players, all(label.told for label in found))


def _tick(label: Label) -> int:
    return label.tick
