"""The teacher's word taken along to a further version: what can be said of it still."""

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from redstave.model.line import Playing
from redstave.model.match import NO_BAR
from redstave.model.role import RoleOverride
from redstave.model.second import BarPair
from redstave.model.teacher import TeachersWord


class Carried(NamedTuple):
    """What is said of the later version, and what of the earlier could not be said of it."""

    now: TeachersWord
    left: TeachersWord


class _Way(NamedTuple):
    """From the earlier version to the later: bars (indices) and lines (ids)."""

    bar: Mapping[int, int]
    line: Mapping[str, str]


def carried_word(
    word: TeachersWord,
    bars: Sequence[BarPair],
    parts: Mapping[str, str],
    playing: tuple[Playing, Playing],
) -> Carried:
    """Return what was said of the earlier version as it is said of the later.

    `bars` and `parts` (ids) pair the versions, `playing` is that of both. What was said of
    bars, parts or players that are gone is left; the piano piece is the same, so its voices stay as
    they were said.
    """
    way = _Way(
        {one.before: one.after for one in bars if NO_BAR not in (one.before, one.after)},
        _lines(parts, *playing),
    )
    roles = [(one, _role(one, way)) for one in word.roles]
    now = TeachersWord(
        tuple(pin._replace(entry=way.bar[pin.entry]) for pin in word.pins if pin.entry in way.bar),
        word.voices,
        tuple(role for _, role in roles if role is not None),
        tuple(way.bar[bar] for bar in word.cuts if bar in way.bar),
    )
    left = TeachersWord(
        tuple(pin for pin in word.pins if pin.entry not in way.bar),
        (),
        tuple(one for one, role in roles if role is None),
        tuple(bar for bar in word.cuts if bar not in way.bar),
    )
    return Carried(now, left)


def _lines(parts: Mapping[str, str], before: Playing, after: Playing) -> dict[str, str]:
    """Return the line of the later version for each of the earlier: the same place in its part."""
    there = {line.id for line in after.lines}
    found = {
        line.id: parts[line.part] + line.id.removeprefix(line.part)
        for line in before.lines
        if line.part in parts
    }
    return {old: new for old, new in found.items() if new in there}


def _role(said: RoleOverride, way: _Way) -> RoleOverride | None:
    """Return a role as it is said of the later version, None where its line or bars are gone."""
    line = way.line.get(said.line)
    inside = [way.bar[bar] for bar in range(said.first, said.last + 1) if bar in way.bar]
    if not inside or line is None:
        return None
    return RoleOverride(line, min(inside), max(inside), said.role)
