"""The teacher's word on roles, as arrays: it overrules every rule, and the original's word too."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import groupby

import numpy as np
from numpy.typing import NDArray

from redstave.analysis.slices import Slices
from redstave.base.errors import InputError
from redstave.model.line import Playing
from redstave.model.role import Role, RoleOverride

Flags = NDArray[np.bool_]
Ints = NDArray[np.int64]


def settled(
    from_original: Sequence[RoleOverride], teacher: Sequence[RoleOverride]
) -> tuple[RoleOverride, ...]:
    """Return both words on roles, without the original's in bars where the teacher names a tune."""
    named = {
        bar for one in teacher if one.role is Role.TUNE for bar in range(one.first, one.last + 1)
    }
    kept: list[RoleOverride] = []
    for one in from_original:
        bars = [bar for bar in range(one.first, one.last + 1) if bar not in named]
        for _, run in groupby(enumerate(bars), lambda pair: pair[1] - pair[0]):
            stretch = [bar for _, bar in run]
            kept.append(replace(one, first=stretch[0], last=stretch[-1]))
    return (*kept, *teacher)


def said(
    slices: Slices, playing: Playing, overrides: Sequence[RoleOverride]
) -> Iterator[tuple[int, Flags, Role]]:
    """Yield the line (index), the slices [slices] and the role of each override, in order.

    Raises InputError for a line that is not in the score; a later word overrules an earlier one.
    """
    index = {line.id: at for at, line in enumerate(playing.lines)}
    for one in overrides:
        if one.line not in index:
            raise InputError(
                f'a role is set for the line "{one.line}", which this score does not have; '
                f"its lines are {', '.join(index)}"
            )
        yield index[one.line], (slices.bar >= one.first) & (slices.bar <= one.last), one.role


def tune_words(slices: Slices, playing: Playing, overrides: Sequence[RoleOverride]) -> Ints | None:
    """Return 1 where a line is called the tune, -1 where it is given another role, else 0.

    The shape is [slices, lines]; None where nothing was said.
    """
    if not overrides:
        return None
    words = np.zeros((slices.start.size, len(playing.lines)), dtype=np.int64)
    for line, where, role in said(slices, playing, overrides):
        words[where, line] = 1 if role is Role.TUNE else -1
    return words
