"""Two versions of one score: which bar is which, and where they differ.

Bars are compared by what stands in them: notes and marks by part, and, so that a bar that was only
scored otherwise is known again, also pitch classes and rhythm whoever plays them. The best way
through both in order is found by dynamic programming; what it leaves over between two sure bars is
paired where the counts agree.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import lcm

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_matrix

from redstave.model.match import NO_BAR
from redstave.model.score import Part, Score
from redstave.model.second import BarPair

LEAST_ALIKE = 0.25  # of what stands in two bars, for them to be the same bar (ours)
UNHEARD = frozenset(["layout", "other"])  # kinds of marks that players do not read

Token = tuple[object, ...]
Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Content:
    """What stands in the bars of a score: `written` by bar and part, `heard` by bar."""

    written: tuple[Mapping[str, frozenset[Token]], ...]
    heard: tuple[frozenset[Token], ...]


def bars_between(before: Score, after: Score) -> tuple[BarPair, ...]:
    """Return every bar of both versions, paired where they are the same bar, in order."""
    unit = lcm(before.ticks_per_quarter, after.ticks_per_quarter)
    names = parts_between(before, after)
    here, there = content(before, unit, names), content(after, unit, {})
    alike = _alike(here, there)
    pairs = _filled(_best_way(alike), *alike.shape)
    return tuple(_pair(one, other, alike, here, there) for one, other in pairs)


def parts_between(before: Score, after: Score) -> dict[str, str]:
    """Return, for each part of the earlier score, the id of the same part in the later.

    Parts are known by their names; among several of one name the first is the first. A part whose
    name was changed is known by its id, where no other part of the later score answers to it.
    """
    found: dict[str, str] = {}
    names = [(_name(part), part.id) for part in after.parts]
    free = dict.fromkeys(part.id for part in after.parts)
    for part in before.parts:
        same = next((own for name, own in names if name == _name(part) and own in free), None)
        if same is not None:
            found[part.id] = same
            del free[same]
    for part in before.parts:
        if part.id not in found and part.id in free:
            found[part.id] = part.id
            del free[part.id]
    return found


def content(score: Score, unit: int, names: Mapping[str, str]) -> Content:
    """Return what stands in each bar, in `unit`s to the quarter; parts called as in `names`."""
    times = unit // score.ticks_per_quarter
    written: list[dict[str, set[Token]]] = [{} for _ in score.bars]
    heard: list[set[Token]] = [set() for _ in score.bars]
    for part in score.parts:
        name = names.get(part.id, part.id)
        for bar, token in _tokens(part, times):
            written[bar].setdefault(name, set()).add(token)
        for note in part.notes:
            if note.kind == "pitched" and not note.grace:
                at = note.offset * times
                heard[note.bar] |= {(at, int(note.written_midi) % 12), (at, "begins")}
    return Content(
        tuple({name: frozenset(found) for name, found in bar.items()} for bar in written),
        tuple(map(frozenset, heard)),
    )


def _tokens(part: Part, times: int) -> Iterator[tuple[int, Token]]:
    for note in part.notes:
        yield (
            note.bar,
            (
                *(note.offset * times, note.duration * times, note.stave, note.kind),
                *(note.step, note.alter, note.octave, note.grace, note.tie_start, note.let_ring),
            ),
        )
    for mark in part.marks:
        if mark.kind not in UNHEARD:
            at = mark.offset * times
            yield mark.bar, (mark.kind, mark.name, mark.text, mark.value, mark.stave, at)
    for span in part.spans:
        if span.start is not None:
            stop = span.stop and (span.stop.bar - span.start.bar, span.stop.offset * times)
            at = span.start.offset * times
            yield span.start.bar, (span.kind, span.name, span.start.stave, at, stop)


def _alike(here: Content, there: Content) -> Floats:
    """Return how much each bar of one has in common with each of the other [bars, bars].

    That is the share of tokens in common among all of both; half counts what is written in the
    parts, half what sounds. Two empty bars are the same.
    """
    whole = [
        [{(name, *token) for name, found in bar.items() for token in found} for bar in one.written]
        for one in (here, there)
    ]
    shares = (_share(whole[0], whole[1]), _share(here.heard, there.heard))
    mean: Floats = (shares[0] + shares[1]) / 2
    return mean


def _share(
    here: Sequence[frozenset[Token] | set[Token]], there: Sequence[frozenset[Token] | set[Token]]
) -> Floats:
    known: dict[Token, int] = {}
    for bar in (*here, *there):
        for token in bar:
            known.setdefault(token, len(known))
    one, other = _table(here, known), _table(there, known)
    common = (one @ other.T).toarray()
    sizes = (
        np.array([len(bar) for bar in here])[:, None],
        np.array([len(bar) for bar in there])[None, :],
    )
    union = sizes[0] + sizes[1] - common
    share: Floats = np.where(union > 0, common / np.maximum(union, 1), 1.0)
    return share


def _table(
    bars: Sequence[frozenset[Token] | set[Token]], known: Mapping[Token, int]
) -> "csr_matrix[np.float64]":
    columns = [known[token] for bar in bars for token in bar]
    starts = np.cumsum([0, *(len(bar) for bar in bars)])
    return csr_matrix(
        (np.ones(len(columns)), columns, starts), shape=(len(bars), max(len(known), 1))
    )


def _best_way(alike: Floats) -> list[tuple[int, int]]:
    """Return the pairs, rising in both, that have most in common; among equals the straightest."""
    rows, columns = alike.shape
    gain = np.maximum(alike - LEAST_ALIKE, 0.0)
    best = np.zeros((rows + 1, columns + 1))
    for row in range(rows):
        paired = best[row, :-1] + gain[row]
        best[row + 1, 1:] = np.maximum(paired, best[row, 1:])
        np.maximum.accumulate(best[row + 1], out=best[row + 1])
    pairs = []
    row, column = rows, columns
    while row and column:
        if gain[row - 1, column - 1] and best[row, column] == (
            best[row - 1, column - 1] + gain[row - 1, column - 1]
        ):
            row, column = row - 1, column - 1
            pairs.append((row, column))
        elif best[row, column] == best[row - 1, column]:
            row -= 1
        else:
            column -= 1
    return pairs[::-1]


def _filled(pairs: Sequence[tuple[int, int]], rows: int, columns: int) -> list[tuple[int, int]]:
    """Return all bars of both: those between two pairs are paired where they are as many."""
    whole: list[tuple[int, int]] = []
    for (row, column), (next_row, next_column) in pairwise([(-1, -1), *pairs, (rows, columns)]):
        left, right = range(row + 1, next_row), range(column + 1, next_column)
        if len(left) == len(right):
            whole += zip(left, right, strict=True)
        else:
            whole += [(one, NO_BAR) for one in left] + [(NO_BAR, other) for other in right]
        if next_row < rows:
            whole.append((next_row, next_column))
    return whole


def _pair(one: int, other: int, alike: Floats, here: Content, there: Content) -> BarPair:
    if NO_BAR in (one, other):
        return BarPair(one, other, 0.0)
    before, after = here.written[one], there.written[other]
    empty: frozenset[Token] = frozenset()
    names = dict.fromkeys([*after, *before])
    parts = tuple(name for name in names if before.get(name, empty) != after.get(name, empty))
    return BarPair(one, other, float(alike[one, other]), parts)


def _name(part: Part) -> str:
    return " ".join((part.name or part.id).casefold().split())
