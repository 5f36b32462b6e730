"""Signs that stand for what is left out of a text, and where what it says holds them.

A text is read once with signs in it; what it says is then told for others like it, with their own
words and numbers in the place of the signs: step by step down to where each stands.
"""

import re
from collections.abc import Iterable
from typing import Any

Key = tuple[str, ...]  # a text without what is left out, by which it is known again
Values = tuple[str, ...]  # what is left out of it
# By its index in a tuple: what is to be filled in there, a text with signs, or a value's number.
Steps = list[tuple[int, "Steps | str | int"]]
WHITE = " \t\r\n"  # all that is space to XML
BETWEEN = "\0"  # stands between the pieces of a key that is one text; no XML holds it
SIGN = "\x7f"  # a character that no score holds; a file that does is not read by its text


def steps_of(said: Iterable[Any], sign: str, signed: re.Pattern[str]) -> Steps:
    """Return what is to be filled in anywhere in a tuple; `signed` matches a sign with its number.

    `sign` is what all of them begin with.
    """
    steps: Steps = []
    for index, one in enumerate(said):
        if isinstance(one, str):
            if sign in one:
                whole = signed.fullmatch(one)
                steps.append((index, int(whole[1]) if whole else one))
        elif one and isinstance(one, tuple) and (inner := steps_of(one, sign, signed)):
            steps.append((index, inner))
    return steps


def stepwise(
    said: tuple[Any, ...], steps: Steps, values: Values, signed: re.Pattern[str]
) -> tuple[Any, ...]:
    """Return a tuple with values in the place of the signs."""
    told = list(said)
    for index, inner in steps:
        if isinstance(inner, int):
            told[index] = values[inner]
        elif isinstance(inner, str):
            told[index] = signed.sub(lambda sign: values[int(sign[1])], inner)
        else:
            told[index] = stepwise(told[index], inner, values, signed)
    return tuple.__new__(type(said), told)
