"""Texts that differ only in where their marks are drawn: read once, with those numbers left blank.

Programs write with nearly every mark where it stands on the page (`default-x="4.93"`), so that
nearly every text is new, though it says what others said. No such number means anything to the
reader: it is kept as an attribute, and that is all. So a text is read once with a sign for each of
them, and what it says is then told for others with their own numbers in the place of the signs.
"""

import re
from typing import Any, NamedTuple

from redstave.model.score import Attributes, Inner
from redstave.reading.keeper import Act, Holes, MarkSaid, StartSaid, StopSaid
from redstave.reading.steps import SIGN, Key, Steps, Values, steps_of, stepwise

_BLANK = re.compile(r'-([xy])="([-0-9.]++)"')  # default, relative, bezier; they are all drawn
_SIGN = SIGN + "b"
_SIGNED = re.compile(f"{_SIGN}(\\d+){SIGN}")
_ATTRIBUTES: dict[type, int] = {
    kind: kind._fields.index("attributes") for kind in (MarkSaid, StartSaid, StopSaid, Inner)
}
_INSIDE, _ACTS = 1, 3


class Plan(NamedTuple):
    """Where signs stand in what a note says (its details, children, ties, acts and faults).

    Acts have their own holes; `inside` are the children: which one, its holes; `others` is all the
    rest, step by step.
    """

    inside: list[tuple[int, Holes]]
    others: Steps


def blanked(text: str) -> tuple[Key, Values]:
    """Return a text with its blanks taken out, by which it is known again, and what they hold.

    Of each blank, the letter of its axis is left, between what stands before and behind.
    """
    pieces = _BLANK.split(text)
    values = tuple(pieces[2::3])
    del pieces[2::3]
    return tuple(pieces), values


def is_sure(key: Key) -> bool:
    """Whether each blank of a text stands in a tag, and none in another attribute's text."""
    in_tag = False
    for before in key[0:-1:2]:
        begun, ended = before.rfind("<"), before.rfind(">")
        in_tag = begun > ended or (in_tag and ended < 0)
        if not in_tag:
            return False
    return len(key) == 1 or not any("'" in piece for piece in key)


def signed(key: Key) -> str:
    """Return a text with a sign in each of its blanks."""
    signs = [
        f'{before}-{name}="{_SIGN}{number}{SIGN}"'
        for number, (before, name) in enumerate(zip(key[0::2], key[1::2], strict=False))
    ]
    return "".join([*signs, key[-1]])


def plan_of(said: tuple[Any, ...]) -> tuple[tuple[Act, ...], Plan | None]:
    """Return a note's acts with the holes in their attributes, and where else signs stand."""
    details, inside, ends, acts, faults = said
    plan = Plan([], _steps((details, None, ends, None, faults)))
    settled: list[Act] = []
    for index, (one, below, path, _) in enumerate(acts):
        holes = _holes(one)
        settled.append((one, below, path, holes or ()))
        if holes is None:
            plan.others.append((_ACTS, [(index, [(0, _steps(one))])]))
    for index, one in enumerate(inside):
        holes = _holes(one)
        if holes:
            plan.inside.append((index, holes))
        elif holes is None:
            plan.others.append((_INSIDE, [(index, _steps(one))]))
    return tuple(settled), plan if plan.inside or plan.others else None


def _steps(said: tuple[Any, ...]) -> Steps:
    return steps_of(said, _SIGN, _SIGNED)


def _holes(said: tuple[Any, ...]) -> Holes | None:
    """Return the blanks that are values of its attributes; None if there are others."""
    field = _ATTRIBUTES[type(said)]
    if _steps(said[:field] + said[field + 1 :]):
        return None
    holes = []
    for index, (name, value) in enumerate(said[field]):
        if _SIGN in value:
            whole = _SIGNED.fullmatch(value)
            if whole is None:
                return None
            holes.append((index, name, int(whole[1])))
    return tuple(holes)


def filled(said: tuple[Any, ...], plan: Plan, values: Values) -> Any:
    """Return what a note says with these values instead of the signs; not in the holes of acts."""
    if plan.inside:
        details, inside, ends, acts, faults = said
        held = list(inside)
        for index, holes in plan.inside:
            name, text, attributes, children = held[index]
            held[index] = Inner(name, text, with_values(attributes, holes, values), children)
        said = details, tuple(held), ends, acts, faults
    return stepwise(said, plan.others, values, _SIGNED) if plan.others else said


def with_values(attributes: Attributes, holes: Holes, values: Values) -> Attributes:
    """Return attributes with values in their holes."""
    if len(holes) == len(attributes):
        return tuple([(name, values[number]) for _, name, number in holes])
    told = list(attributes)
    for index, name, number in holes:
        told[index] = name, values[number]
    return tuple(told)
