"""Which bar of the entry comes from which bar of the original, in what key and what note values."""

from collections import Counter
from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import NamedTuple

import numpy as np

from redstave.base.errors import InputError
from redstave.model.match import NO_BAR, BarMatch, Pin
from redstave.original.likeness import COMMON, Likeness
from redstave.original.sounding import Floats, Ints, Sounding
from redstave.original.walking import (
    CUT,
    CUT_A_BAR,
    CUT_AT_MOST,
    INSERTED,
    LEAVE,
    Ground,
    Shape,
    Step,
    doubts,
    images,
    values,
    walk,
)

SHAPES: tuple[Shape, ...] = ((1, 1), (1, 2), (2, 1), (1, 3), (3, 1), (1, 4), (4, 1), (2, 3), (3, 2))
# All numbers here are ours, set on invented pairs (docs/evidence.md).
UNEVEN, IRREGULAR = 0.4, 0.05  # a step in other note values: for each bar more, or within a bar
STRANGE = 0.6
CHANCE, SURELY = 1.5, 1.0
PINNED = 100.0
SHARP = 0.25  # how much better the best way must be for its bars to be fairly sure
HIGHEST = 6  # semitones by which a transposition is said to go up


class BarMap(NamedTuple):
    """The bars matched.

    `steps` tell which rows stand beside which bars of the original; `rows` are the bars of the
    entry in the order of playing. `transposition` and `augmentation` are as in `Match`.
    """

    transposition: int
    augmentation: Fraction
    bars: tuple[BarMatch, ...]
    steps: tuple[Step, ...]
    rows: Ints


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
    like = Likeness(entry, original, route.rows)
    rows = {row: pin for pin in pins for row in np.flatnonzero(route.rows == pin.entry).tolist()}
    times = Fraction(1)
    ground = _ground(like, SHAPES, times, route, rows)
    steps = walk(ground, values(ground))
    if (usual := _augmentation(entry, original, steps, route.rows)) != times:
        times = usual
        ground = _ground(like, SHAPES, times, route, rows)
        steps = walk(ground, values(ground))
    shapes = tuple({(1, 1), *((one.rows, one.bars) for one in steps)})
    ground = Ground(ground.rows, ground.bars, {s: ground.gains[s] for s in shapes}, ground.signs)
    related = bool(rows) or _related(ground)
    steps = _without_strangers(steps, like, rows) if related else []
    matches = _matches(ground, like, steps, route.rows, frozenset(pins))
    up = like.up if like.up <= HIGHEST else like.up - 12
    return BarMap(
        up if related else 0, times if related else Fraction(1), matches, tuple(steps), route.rows
    )


def _ground(
    like: Likeness,
    shapes: Sequence[Shape],
    times: Fraction,
    route: Route,
    pins: Mapping[int, Pin],
) -> Ground:
    """Weigh every step, seeing what else is known of it."""
    gains = {}
    for shape in shapes:
        rows, bars = shape
        gain = 0.5 * (rows + bars) * (like.of(shape) - COMMON)
        uneven = np.abs(like.times(shape) / float(times) - 1.0) > 0.02
        gain -= uneven * (UNEVEN * (max(shape) - 1) if rows != bars else IRREGULAR)
        gain[~like.joined(rows)] = -PINNED
        gains[shape] = gain
        for row, pin in pins.items():
            _pin(gain, shape, row, pin)
    return Ground(route.rows.size, like.original.bars, gains, route.signs)


def _pin(gain: Floats, shape: Shape, row: int, pin: Pin) -> None:
    """Let only those steps pass a row that set it beside the bar it is pinned to."""
    for at, bar in images(*shape):
        begin = row - at
        if 0 <= begin < gain.shape[0]:
            right = pin.original - bar
            kept = gain[begin, right] if 0 <= right < gain.shape[1] and pin.original >= 0 else None
            gain[begin] -= PINNED
            if kept is not None:
                gain[begin, right] = kept + PINNED


def _related(ground: Ground) -> bool:
    """Tell whether the two pieces have more in common than any two have by chance.

    The way along the original is set against the best one along its bars in reverse order: what
    both gain beyond leaving all bars unmatched.
    """
    reverse = {shape: gain[:, ::-1] for shape, gain in ground.gains.items()}
    nothing = LEAVE + INSERTED * ground.rows + min(CUT + CUT_A_BAR * ground.bars, CUT_AT_MOST)
    gained = values(ground).on[0, 0] + nothing
    by_chance = values(Ground(ground.rows, ground.bars, reverse)).on[0, 0] + nothing
    return bool(gained > CHANCE * by_chance + SURELY)


def _without_strangers(
    steps: Sequence[Step], like: Likeness, pins: Mapping[int, Pin]
) -> list[Step]:
    """Leave out steps that stand in their place only because those around them do.

    Their bars have less in common than any two, and much less than those around.
    """
    likeness = np.array([like.of((one.rows, one.bars))[one.row, one.bar] for one in steps])
    kept = []
    for at, one in enumerate(steps):
        around = float(np.median(likeness[max(0, at - 4) : at + 5]))
        strange = likeness[at] < min(STRANGE, around - 0.25)
        if not strange or pins.keys() & range(one.row, one.row + one.rows):
            kept.append(one)
    return kept


def _augmentation(
    entry: Sounding, original: Sounding, steps: Sequence[Step], rows: Ints
) -> Fraction:
    """Return the change of note values in most steps."""
    found: Counter[Fraction] = Counter()
    for one in steps:
        here = entry.length[rows[one.row : one.row + one.rows]].sum()
        there = original.length[one.bar : one.bar + one.bars].sum()
        if here > 0 and there > 0:
            found[Fraction(here / there).limit_denominator(8)] += one.rows
    return found.most_common(1)[0][0] if found else Fraction(1)


def _matches(
    ground: Ground, like: Likeness, steps: Sequence[Step], rows: Ints, pins: frozenset[Pin]
) -> tuple[BarMatch, ...]:
    """Return the bars in the order of the entry, then those that only the original has."""
    sure = _sureness(ground, like, steps)
    found: dict[tuple[int, int], float] = {}
    for one in steps:
        for at, bar in images(one.rows, one.bars):
            pair = int(rows[one.row + at]), one.bar + bar
            found[pair] = max(found.get(pair, 0.0), float(sure[one.row + at]))
    here, there = {entry for entry, _ in found}, {bar for _, bar in found}
    for row, bar in enumerate(rows.tolist()):
        if bar not in here:
            found[bar, NO_BAR] = max(found.get((bar, NO_BAR), 0.0), float(sure[row]))
    matched = [
        BarMatch(entry, bar, 1.0 if Pin(entry, bar) in pins else value, Pin(entry, bar) in pins)
        for (entry, bar), value in sorted(found.items())
    ]
    return (
        *matched,
        *(BarMatch(NO_BAR, bar, 1.0) for bar in range(ground.bars) if bar not in there),
    )


def _sureness(ground: Ground, like: Likeness, steps: Sequence[Step]) -> Floats:
    """Return how sure each row is of its bar, or of having none: 0 to 1 [rows]."""
    beside, none = doubts(ground, values(ground))
    same = like.same()
    bar_of = {
        one.row + at: one.bar + bar for one in steps for at, bar in images(one.rows, one.bars)
    }
    sure = np.zeros(ground.rows)
    for row in range(ground.rows):
        bar = bar_of.get(row)
        others = beside[row] if bar is None else np.where(same[bar], -np.inf, beside[row])
        best = none[row] if bar is None else beside[row][same[bar]].max()
        against = max(others.max(), -np.inf if bar is None else none[row])
        sure[row] = 1.0 / (1.0 + np.exp(-np.clip((best - against) / SHARP, -30.0, 30.0)))
    return sure


def _nothing(entry: Sounding, original: Sounding, route: Route) -> BarMap:
    """Return the map of two scores of which one has no pitch in it."""
    bars = [BarMatch(bar, NO_BAR, 1.0) for bar in range(entry.bars)]
    bars += [BarMatch(NO_BAR, bar, 1.0) for bar in range(original.bars)]
    return BarMap(0, Fraction(1), tuple(bars), (), route.rows)


def _allow(pin: Pin, entry: int, original: int) -> None:
    if not (0 <= pin.entry < entry and NO_BAR <= pin.original < original):
        raise InputError(
            f"bar {pin.entry + 1} of the entry is set to bar {pin.original + 1} of the original, "
            f"but the entry has {entry} bars and the original {original}; choose from those"
        )
