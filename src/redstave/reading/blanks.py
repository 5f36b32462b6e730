"""Texts that differ only in where their marks are drawn: read once, with those numbers left blank.

Programs write with nearly every mark where it stands on the page (`default-x="4.93"`), so that
nearly every text is new, though it says what others said. No such number means anything to the
reader: it is kept as an attribute, and that is all. So a text is read once with a sign for each of
them, and what it says is then told for others with their own numbers in the place of the signs.
"""

import re
from typing import Any, NamedTuple

_BLANK = re.compile(r'-([xy])="([-0-9.]++)"')  # default, relative, bezier; they are all drawn
_SIGN = "\x7f"  # a character that no score holds; one that does is not left blank
_SIGNED = re.compile(f"{_SIGN}(\\d+){_SIGN}")
Key = tuple[str, ...]
Values = tuple[str, ...]
# Of attributes: which one, its name, and the number of the blank that is its value.
Holes = list[tuple[int, str, int]]
# By its index in a tuple: what is to be filled in there, a text with signs, or a blank's number.
Steps = list[tuple[int, "Steps | str | int"]]


class Plan(NamedTuple):
    """Where signs stand in what a note says (its details, children, ties, acts and faults).

    `acts` are the marks and ends of spans: which one, the field of its attributes, its blanks;
    `inside` the children: which one, its blanks; `others` is all the rest, step by step.
    """

    acts: list[tuple[int, int, Holes]]
    inside: list[tuple[int, Holes]]
    others: Steps


NO_PLAN = Plan([], [], [])
_INSIDE, _ACTS = 1, 3
_ATTRIBUTES_INSIDE = 2


def blanked(text: str) -> tuple[Key, Values]:
    """Return a text with its blanks taken out, by which it is known again, and what they hold."""
    pieces = _BLANK.split(text)
    values = tuple(pieces[2::3])
    del pieces[2::3]
    return tuple(pieces), values


def signed(text: str) -> str | None:
    """Return a text with a sign in each blank; None where a blank may be something else.

    That is where it does not stand in a tag, and where it stands in another attribute's text.
    """
    if _SIGN in text or "'" in text:
        return None
    pieces = _BLANK.split(text)
    signs: list[str] = []
    in_tag = False
    for number, (before, name) in enumerate(zip(pieces[0::3], pieces[1::3], strict=False)):
        begun, ended = before.rfind("<"), before.rfind(">")
        in_tag = begun > ended or (in_tag and ended < 0)
        if not in_tag:
            return None
        signs.append(f'{before}-{name}="{_SIGN}{number}{_SIGN}"')
    return "".join([*signs, pieces[-1]])


def plan_of(said: tuple[Any, ...]) -> Plan:
    """Return where signs stand in what a note says."""
    details, inside, ends, acts, faults = said
    plan = Plan([], [], _steps((details, None, ends, None, faults)))
    for index, (one, _, _) in enumerate(acts):
        steps = _steps(one)
        if found := _holes(one, steps):
            plan.acts.append((index, *found))
        elif steps:
            plan.others.append((_ACTS, [(index, [(0, steps)])]))
    for index, one in enumerate(inside):
        steps = _steps(one)
        if found := _holes(one, steps):
            plan.inside.append((index, found[1]))
        elif steps:
            plan.others.append((_INSIDE, [(index, steps)]))
    return plan


def _steps(said: tuple[Any, ...]) -> Any:
    """Return what is to be filled in anywhere in a tuple."""
    steps: Steps = []
    for index, one in enumerate(said):
        if isinstance(one, str):
            if _SIGN in one:
                whole = _SIGNED.fullmatch(one)
                steps.append((index, int(whole[1]) if whole else one))
        elif isinstance(one, tuple) and one and (inner := _steps(one)):
            steps.append((index, inner))
    return steps


def _only(steps: Any, index: int) -> Any:
    """Return the steps at an index where there are no others."""
    return steps[0][1] if len(steps) == 1 and steps[0][0] == index else []


def _holes(said: tuple[Any, ...], steps: Any) -> tuple[int, Holes] | None:
    """Return the field of attributes and their blanks, if nothing else is to be filled in."""
    if len(steps) != 1 or not isinstance(steps[0][1], list):
        return None
    field, pairs = steps[0]
    holes: Holes = []
    for index, inner in pairs:
        number = _only(inner, 1) if isinstance(inner, list) else None
        if not isinstance(number, int) or len(said[field][index]) != 2:
            return None
        holes.append((index, said[field][index][0], number))
    return field, holes


def filled(said: tuple[Any, ...], plan: Plan, values: Values) -> Any:
    """Return what a note says with these values instead of the signs."""
    details, inside, ends, acts, faults = said
    if plan.acts:
        acts = list(acts)
        for index, field, holes in plan.acts:
            told, below, path = acts[index]
            acts[index] = _with(told, field, holes, values), below, path
        acts = tuple(acts)
    if plan.inside:
        inside = list(inside)
        for index, holes in plan.inside:
            inside[index] = _with(inside[index], _ATTRIBUTES_INSIDE, holes, values)
        inside = tuple(inside)
    said = details, inside, ends, acts, faults
    return _stepwise(said, plan.others, values) if plan.others else said


def _with(said: tuple[Any, ...], field: int, holes: Holes, values: Values) -> tuple[Any, ...]:
    """Return something said with values in the blanks of its attributes."""
    fields = list(said)
    attributes = list(fields[field])
    for index, name, number in holes:
        attributes[index] = name, values[number]
    fields[field] = tuple(attributes)
    return tuple.__new__(type(said), fields)


def _stepwise(said: tuple[Any, ...], steps: Steps, values: Values) -> Any:
    told = list(said)
    for index, inner in steps:
        if isinstance(inner, int):
            told[index] = values[inner]
        elif isinstance(inner, str):
            told[index] = _SIGNED.sub(lambda sign: values[int(sign[1])], inner)
        else:
            told[index] = _stepwise(told[index], inner, values)
    return tuple.__new__(type(said), told)
