"""Texts that differ only in words which the reader keeps as they are: read once for all of them.

How long a note is, which way its stem points, its accidental and its beams are a few words, but
they come in a thousand combinations, and a text for each. No handler asks what these words are: so
a pattern is read once with signs in their places. The same holds for the numbers in the layout of a
page.
"""

import re
from collections.abc import Iterable, Iterator
from typing import Any

from redstave.reading.blanks import Plan
from redstave.reading.numbers import clean
from redstave.reading.steps import SIGN, Key, Steps, Values, steps_of, stepwise

# What stands before a word or number, and it. A stave's number is one below ten.
_WORD = re.compile(
    r"(>)([-\w.]++)(?=</(?:accidental|beam|duration|stem|type|voice|(?<=>[1-9]</)staff)>)", re.ASCII
)
_NUMBER = re.compile(r'([>"])([-0-9.]++)(?=[<"])')  # all that an attribute or a text holds
_SIGN = SIGN + "w"
_SIGNED = re.compile(f"{_SIGN}(\\d+){SIGN}")


class Pattern:
    """What texts say that differ in words alone, None until one is read.

    That one has a pitch with so many line `breaks`, if it is told apart. `plan` tells where there
    are blanks in what it says, and signs for words are to be replaced step by step.
    """

    __slots__ = ("_steps", "breaks", "plan", "said")

    def __init__(self, breaks: int = 0) -> None:
        self.breaks = breaks
        self.said: Any = None
        self.plan: Plan | None = None
        self._steps: Steps = []

    def read(
        self, said: tuple[Any, ...], plan: Plan | None, number: int, usual: Iterable[int] = ()
    ) -> None:
        """Take what one of the texts says, with signs for so many words.

        They are looked for in the usual fields first: where all are there, none is elsewhere.
        """
        self.said, self.plan = said, plan
        if not number:
            return
        few: list[Any] = [None] * len(said)
        for index in usual:
            few[index] = said[index]
        self._steps = steps_of(few, _SIGN, _SIGNED)
        if len(set(_numbers(self._steps))) < number:
            self._steps = steps_of(said, _SIGN, _SIGNED)

    def told(self, words: Values) -> Any:
        """Return what the text says that has these words."""
        return stepwise(self.said, self._steps, words, _SIGNED) if self._steps else self.said


def word_number(text: str | None) -> int:
    """Return which word a text stands for that is a sign, else -1."""
    sign = _SIGNED.fullmatch(text) if text and SIGN in text else None
    return -1 if sign is None else int(sign[1])


def shows_sign(text: str) -> bool:
    """Whether a problem's text quotes a sign, where it should quote a word."""
    return SIGN in text or repr(SIGN)[1:-1] in text


def unworded(text: str) -> tuple[Key, Values]:
    """Return the text of a note without its words, and these words."""
    return _without(text, _WORD)


def unnumbered(text: str) -> tuple[Key, Values]:
    """Return the text of a layout without its numbers, and these numbers."""
    return _without(text, _NUMBER)


def _without(text: str, wanted: re.Pattern[str]) -> tuple[Key, Values]:
    pieces = wanted.split(text)
    words = tuple(map(clean, pieces[2::3]))
    del pieces[2::3]
    return tuple(pieces), words


def with_signs(pattern: Key) -> str:
    """Return a text with a sign for each of its words or numbers."""
    told = [
        f"{before}{opened}{_SIGN}{number}{SIGN}"
        for number, (before, opened) in enumerate(zip(pattern[0::2], pattern[1::2], strict=False))
    ]
    return "".join([*told, pattern[-1]])


def _numbers(steps: Steps) -> Iterator[int]:
    for _, inner in steps:
        if isinstance(inner, list):
            yield from _numbers(inner)
        elif isinstance(inner, int):
            yield inner
