"""Which bar of the entry comes from which bar of the original, in what key and what note values.

The original is followed bar by bar. Where its barlines are elsewhere, as in a file without metres
or with an upbeat counted as a bar, bars have little in common although the music is the same: then
it is followed beat by beat.
"""

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from typing import NamedTuple

import numpy as np

from redstave.base.errors import InputError
from redstave.model.match import NO_BAR, BarMatch, Pin
from redstave.original.beats import APART, beat_of, how_early, in_beats, mostly, moved
from redstave.original.ground import Path, best_path
from redstave.original.joined import joints, parted, stands
from redstave.original.likeness import Likeness
from redstave.original.sounding import Ints, Sounding
from redstave.original.walking import Shape, Step

SHAPES: tuple[Shape, ...] = ((1, 1), (1, 2), (2, 1), (1, 3), (3, 1), (1, 4), (4, 1), (2, 3), (3, 2))
HIGHEST = 6  # semitones by which a transposition is said to go up
WELL = 0.85  # likeness of bars that need no better barlines (ours)
BETTER = 1.1  # how many times as much must be gained beat by beat (ours)
LONG, LONGEST_BAR = 4, 40  # usual bars that a long one is as long as (ours)
LONGEST = 12  # quarters of a bar that is followed beat by beat
OVERLAP = 0.5  # share of the shorter of two bars by which they stand beside each other


class BarMap(NamedTuple):
    """The bars matched.

    `steps` tell which rows stand beside which pieces of `followed`: the original, cut into bars or
    beats. `rows` are the bars of the entry in the order of playing, as they are in `following`,
    where bars that join two of the original are cut in two. `transposition` and `augmentation` are
    as in `Match`.
    """

    transposition: int
    augmentation: Fraction
    bars: tuple[BarMatch, ...]
    steps: tuple[Step, ...]
    rows: Ints
    followed: Sounding
    following: Sounding


class Route(NamedTuple):
    """The order of playing: `rows` are bars of the entry, `signs` lead back in the original."""

    rows: Ints
    signs: tuple[tuple[int, int], ...]


def bar_map(entry: Sounding, original: Sounding, route: Route, pins: Sequence[Pin] = ()) -> BarMap:
    """Match bars by what sounds in them, in their order.

    Raises InputError for a pin in a bar that is not there.
    """
    for pin in pins:
        _allow(pin, entry.bars, original.bars)
    if not entry.midi.size or not original.midi.size:
        return _nothing(entry, original, route)
    pinned = {row: pin for pin in pins for row in np.flatnonzero(route.rows == pin.entry).tolist()}
    shapes = (*SHAPES, *long_bars(entry, original))
    path = _followed(entry, original, original, route, pinned, shapes, 0.0)
    path = _over_signs(path, original, route, pinned, shapes)
    if path.likeness < WELL:
        by_beats = _by_beats(entry, original, route, pinned)
        if by_beats.steps and by_beats.gained > BETTER * path.gained:
            path = by_beats
    up = path.like.up if path.like.up <= HIGHEST else path.like.up - 12
    return BarMap(
        up if path.steps else 0,
        path.times if path.steps else Fraction(1),
        _matches(path, entry, original, frozenset(pins)),
        path.steps,
        path.like.rows,
        path.like.original,
        path.like.entry,
    )


def long_bars(entry: Sounding, original: Sounding) -> tuple[Shape, ...]:
    """Return steps over bars as long as many, such as cadenzas, that the other side may divide."""
    found: list[Shape] = []
    for of, other in ((entry, original), (original, entry)):
        times = np.unique(np.rint(of.length / np.median(of.length)).astype(np.int64))
        counts = [n for n in times.tolist() if LONG < n <= min(LONGEST_BAR, other.bars)]
        found += [(1, count) if of is entry else (count, 1) for count in counts]
    return tuple(found)


def bar_of(pieces: Sounding, whole: Sounding) -> Ints:
    """Return in which bar of the whole each piece begins; silence before the first is of that."""
    bar = np.searchsorted(whole.begin, pieces.begin + 1e-6, side="right") - 1
    found: Ints = np.maximum(bar, 0)
    return found


def _followed(
    entry: Sounding,
    original: Sounding,
    pieces: Sounding,
    route: Route,
    pinned: Mapping[int, Pin],
    shapes: Sequence[Shape],
    slack: float,
    up: int | None = None,
) -> Path:
    """Return the best way along the pieces of an original, in the key that is known if it is."""
    bar = bar_of(pieces, original)
    pins = {row: np.flatnonzero(bar == pin.original) for row, pin in pinned.items()}
    signs = [
        (int(np.searchsorted(bar, end, side="right")) - 1, int(np.searchsorted(bar, then)))
        for end, then in route.signs
    ]
    return best_path(Likeness(entry, pieces, route.rows, up), shapes, signs, pins, slack)


def _over_signs(
    path: Path,
    original: Sounding,
    route: Route,
    pinned: Mapping[int, Pin],
    shapes: Sequence[Shape],
) -> Path:
    """Return the way on which bars that join two of the original over a sign stand beside both."""
    entry, like = path.like.entry, path.like
    pin_of = {pin.entry: pin for pin in pinned.values()}
    some = [one for one in joints(like, path.steps, route.signs) if one.bar not in pin_of]
    if not some:
        return path
    pieces, rows = parted(entry, route.rows, some)
    bars = bar_of(pieces, entry)[rows].tolist()
    pins = {row: pin_of[bar] for row, bar in enumerate(bars) if bar in pin_of}
    parts = Route(rows, route.signs)
    apart = _followed(pieces, original, original, parts, pins, shapes, 0.0, like.up)
    return apart if all(stands(one, apart.steps, bars) for one in some) else path


def _by_beats(entry: Sounding, original: Sounding, route: Route, pinned: Mapping[int, Pin]) -> Path:
    """Return the best way along the beats of an original, first cut evenly, then as they fall."""
    beat = beat_of(entry)
    shapes, slack = _shapes(entry, beat), APART * beat
    path = _followed(entry, original, in_beats(original, entry, beat), route, pinned, shapes, slack)
    up = path.like.up
    if early := mostly(how_early(path.like, path.steps, beat)):
        pieces = in_beats(original, entry, beat, early)
        path = _followed(entry, original, pieces, route, pinned, shapes, slack, up)
    uneven = how_early(path.like, path.steps, beat)
    if np.nan_to_num(uneven).any():
        pieces = moved(path.like, path.steps, uneven)
        path = _followed(entry, original, pieces, route, pinned, shapes, slack, up)
    return path


def _shapes(entry: Sounding, beat: float) -> tuple[Shape, ...]:
    """Return a step for each length of bar in the entry, the usual one first: a bar, its beats.

    A bar that is no whole number of beats long may have one more or less.
    """
    length = entry.length / beat
    beats = np.concatenate([np.floor(length + 1e-6), np.ceil(length - 1e-6)]).astype(np.int64)
    beats = np.clip(beats, 1, round(LONGEST / beat))
    usual = np.argsort(-np.bincount(beats), kind="stable")
    return tuple((1, count) for count in usual.tolist() if count in set(beats.tolist()))


def _matches(
    path: Path, entry: Sounding, original: Sounding, pins: frozenset[Pin]
) -> tuple[BarMatch, ...]:
    """Return the bars in the order of the entry, then those that only the original has."""
    sure, lacking = path.sure, path.lacking
    rows = bar_of(path.like.entry, entry)[path.like.rows]
    found: dict[tuple[int, int], float] = {}
    for step in path.steps:
        for row, bar in _beside(step, path.like, original):
            pair = int(rows[row]), bar
            found[pair] = max(found.get(pair, 0.0), float(sure[row]))
    here, there = {bar for bar, _ in found}, {bar for _, bar in found}
    for row, bar in enumerate(rows.tolist()):
        if bar not in here:
            found[bar, NO_BAR] = max(found.get((bar, NO_BAR), 0.0), float(sure[row]))
    found |= {(bar, NO_BAR): 0.0 for bar in set(range(entry.bars)) - set(rows.tolist()) - here}
    matched = [
        BarMatch(bar, other, 1.0 if Pin(bar, other) in pins else value, Pin(bar, other) in pins)
        for (bar, other), value in sorted(found.items())
    ]
    pieces = np.searchsorted(original.begin, path.like.original.begin + 1e-6, side="right") - 1
    alone = (
        BarMatch(NO_BAR, bar, float(lacking[pieces == bar].min(initial=1.0)))
        for bar in range(original.bars)
        if bar not in there
    )
    return (*matched, *alone)


def _beside(step: Step, like: Likeness, original: Sounding) -> Iterator[tuple[int, int]]:
    """Yield the rows of a step, each with the bars of the original that stand beside it."""
    first = int(like.rows[step.row])
    here = like.entry.begin[first : first + step.rows]
    length = like.entry.length[first : first + step.rows]
    pieces = like.original
    begin, end = pieces.begin[step.bar], pieces.end[step.bar + step.bars - 1]
    times = (end - begin) / max(float(length.sum()), 1e-9)
    for at in range(step.rows):
        low = begin + (here[at] - here[0]) * times
        high = low + length[at] * times
        low = max(low, float(original.begin[0]))
        shared = np.minimum(high, original.end) - np.maximum(low, original.begin)
        shorter = np.minimum(high - low, original.length)
        for bar in np.flatnonzero((shared >= OVERLAP * shorter - 1e-6) & (shorter > 0)).tolist():
            yield step.row + at, bar


def _nothing(entry: Sounding, original: Sounding, route: Route) -> BarMap:
    """Return the map of two scores of which one has no pitch in it: nobody can be sure of any."""
    bars = [BarMatch(bar, NO_BAR, 0.0) for bar in range(entry.bars)]
    bars += [BarMatch(NO_BAR, bar, 0.0) for bar in range(original.bars)]
    return BarMap(0, Fraction(1), tuple(bars), (), route.rows, original, entry)


def _allow(pin: Pin, entry: int, original: int) -> None:
    if not (0 <= pin.entry < entry and NO_BAR <= pin.original < original):
        raise InputError(
            f"bar {pin.entry + 1} of the entry is set to bar {pin.original + 1} of the original, "
            f"but the entry has {entry} bars and the original {original}; choose from those"
        )
