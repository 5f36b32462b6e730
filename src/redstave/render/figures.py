"""What was measured, as one reads it beside a remark: a name, what was found, its limit.

A name that says what is counted is not told it again ("notes below the compass: 1", not "1 note"),
and what a computation is made in is turned into what a musician knows: levels by their letters,
logarithms as proportions, chances in the hundred, a margin with its uncertainty.
"""

from collections.abc import Sequence
from typing import NamedTuple

from redstave.model.finding import Evidence
from redstave.model.line import level_name
from redstave.render.wording import measured, unit

UNCERTAINTY = "uncertainty of the margin (one sd)"
MOST_DECIMALS = 4


class Figure(NamedTuple):
    """One line of evidence in words; `limit` is "" where there is none."""

    name: str
    found: str
    limit: str = ""


def figures(evidence: Sequence[Evidence]) -> tuple[Figure, ...]:
    """Return evidence as one reads it, in its order; an uncertainty stands with its margin."""
    shown: list[Figure] = []
    for item in evidence:
        if item.quantity == UNCERTAINTY and shown:
            last = shown[-1]
            margin = last.found.removesuffix(" dB")
            shown[-1] = last._replace(found=f"{margin} ± {_told(item.value, item)}")
        else:
            shown.append(_figure(item))
    return tuple(shown)


def in_a_line(evidence: Sequence[Evidence]) -> str:
    """Return evidence in one line: "longest slur: 10.4 s (limit 3 s); slurs: 10"."""
    return "; ".join(
        f"{one.name}: {one.found}" + (f" (limit {one.limit})" if one.limit else "")
        for one in figures(evidence)
    )


def _figure(item: Evidence) -> Figure:
    found = _told(item.value, item)
    if item.limit is None:
        return Figure(item.quantity, found)
    limit = _told(item.limit, item)
    if found == limit and item.value != item.limit:
        found, limit = _told_apart(item, found)
    return Figure(item.quantity, found, limit)


def _told(value: float | int | str, item: Evidence) -> str:
    """Return a value of the kind of an item's."""
    if isinstance(value, str):
        return measured(value, item.unit)
    if item.unit == "level":
        return level_name(value)
    if item.unit == "log2 of the ratio":
        high, low = measured(2.0**value, "ratio"), measured(2.0**-value, "ratio")
        return high if value >= 0 else f"1 : {low.removesuffix(' : 1')}"
    if item.unit == "cosine distance":
        return f"{measured(value, '')} of 1"
    if item.quantity.startswith("chance"):
        return measured(value, "share")
    return measured(value, _needed(item))


def _needed(item: Evidence) -> str:
    """Return the unit, without what the quantity's own name says already."""
    share, of, counted = item.unit.partition(" of ")
    noun = (counted if of and share == "share" else item.unit).removeprefix("the ")
    words = item.quantity.replace(",", " ").split()
    if noun and {noun, unit(noun, 1)} & set(words):
        return "share" if share == "share" else ""
    return item.unit


def _told_apart(item: Evidence, alike: str) -> tuple[str, str]:
    """Return found and limit with as many decimals as it takes to see that they differ."""
    found, limit, name = item.value, item.limit, _needed(item)
    if isinstance(found, str) or not isinstance(limit, float | int):
        return alike, alike
    scale = 100 if name.startswith("share") else 1
    sign = f" %{name.removeprefix('share')}" if scale == 100 else f" {name}".rstrip()
    for decimals in range(1, MOST_DECIMALS + 1):
        both = f"{scale * found:.{decimals}f}", f"{scale * limit:.{decimals}f}"
        if both[0] != both[1]:
            return both[0] + sign, both[1] + sign
    return alike, alike
