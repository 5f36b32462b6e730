"""Passages: stretches of one line in which something holds, told as one."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from redstave.analysis.groups import weighted_median
from redstave.analysis.hearing import Hearing
from redstave.analysis.state import State, chance_heard, state

Ints = NDArray[np.int64]


@dataclass(frozen=True)
class Passage:
    """Rows of one line (index) that belong together in time; `quarters` is how long they sound."""

    line: int
    rows: Ints
    start: int
    stop: int
    quarters: float


@dataclass(frozen=True)
class Heard:
    """What is heard of a passage: medians over its time, and who covers it (line, share)."""

    margin_db: float
    sd_db: float
    chance: float
    state: State
    covered_by: tuple[tuple[int, float], ...]


def passages(
    hearing: Hearing, chosen: NDArray[np.bool_], gap: int, ticks_per_quarter: int
) -> Iterator[Passage]:
    """Yield the chosen rows of each line as passages; a rest of more than `gap` ticks parts two."""
    slices = hearing.slices
    rows = np.flatnonzero(chosen)
    start, stop = slices.start[slices.row_slice[rows]], slices.stop[slices.row_slice[rows]]
    order = np.lexsort((start, hearing.line[rows]))
    rows, start, stop = rows[order], start[order], stop[order]
    if rows.size == 0:
        return
    line = hearing.line[rows]
    reached = np.concatenate([stop[:1], stop[:-1]])  # rows of one slice end together
    fresh = (np.diff(line, prepend=-1) != 0) | (start - reached > gap)
    for group in np.split(np.arange(rows.size), np.flatnonzero(fresh)[1:]):
        at = np.unique(slices.row_slice[rows[group]])
        ticks = int((slices.stop[at] - slices.start[at]).sum())
        yield Passage(
            int(line[group[0]]),
            rows[group],
            int(start[group].min()),
            int(stop[group].max()),
            ticks / ticks_per_quarter,
        )


def heard(hearing: Hearing, rows: Ints) -> Heard:
    """Return what is heard of some rows together; tones that die away count by their attacks."""
    judged = hearing.sound.judged[rows]
    rows = rows[judged] if judged.any() else rows
    seconds = hearing.slices.seconds_of(rows)
    margin = weighted_median(hearing.rows.margin_db[rows], seconds)
    sd = float(np.average(hearing.rows.sd_db[rows], weights=seconds))
    covering = np.average(hearing.rows.covering[rows], axis=0, weights=seconds)
    ranked = [int(other) for other in np.argsort(-covering, kind="stable")]
    return Heard(
        margin,
        sd,
        chance_heard(margin, sd),
        state(margin, sd),
        tuple((other, float(covering[other])) for other in ranked if covering[other] > 0.0),
    )


def by_strand(hearing: Hearing, found: Iterable[Passage]) -> list[list[Passage]]:
    """Return passages in order of time, those that share most of their strands together.

    Lines that double each other give a passage each; told once, they are one place.
    """
    groups: list[tuple[set[int], list[Passage]]] = []
    for passage in sorted(found, key=lambda one: (one.start, one.line)):
        strands = set(hearing.strand[passage.rows].tolist())
        for known, members in groups:
            if 2 * len(known & strands) > min(len(known), len(strands)):
                known |= strands
                members.append(passage)
                break
        else:
            groups.append((strands, [passage]))
    return [members for _, members in groups]


def at_once(found: Iterable[Passage]) -> list[list[Passage]]:
    """Return passages in order of time, those that sound for most of their time together as one.

    Lines that stand together so in several places are told once, with all their places.
    """
    groups: list[list[Passage]] = []
    for passage in sorted(found, key=lambda one: (one.start, one.line)):
        near = (group for group in reversed(groups) if _overlaps(group[0], passage))
        group = next(near, None)
        if group is None:
            groups.append([passage])
        else:
            group.append(passage)
    by_lines: dict[frozenset[int], list[Passage]] = {}
    for group in groups:
        by_lines.setdefault(frozenset(one.line for one in group), []).extend(group)
    return list(by_lines.values())


def _overlaps(one: Passage, other: Passage) -> bool:
    """Tell whether two passages share more than half of the shorter one's time."""
    shared = min(one.stop, other.stop) - max(one.start, other.start)
    return 2 * shared > min(one.stop - one.start, other.stop - other.start)
