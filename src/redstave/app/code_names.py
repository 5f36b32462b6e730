"""Code names: neutral words of ours, drawn so that they say nothing of the order of arrival."""

from collections.abc import Collection
from functools import cache
from importlib.resources import files
from random import Random, SystemRandom


@cache
def words() -> tuple[str, ...]:
    """Return the words that entries are called by."""
    text = files("redstave.app").joinpath("starter", "code_names.txt").read_text("utf-8")
    return tuple(text.split())


def draw(taken: Collection[str], chance: Random | None = None) -> str:
    """Return a code name that is not taken; two words together once all single ones are."""
    chance = chance or SystemRandom()
    free = [word for word in words() if word not in taken]
    while not free:
        pair = "-".join(chance.sample(words(), 2))
        free = [pair] if pair not in taken else []
    return chance.choice(free)
