"""What every step of an entry along its original is worth, and which way along it is taken."""

from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property

import numpy as np

from redstave.original.likeness import COMMON, Likeness
from redstave.original.sounding import Flags, Floats, Ints
from redstave.original.walking import (
    CUT,
    CUT_A_BAR,
    CUT_AT_MOST,
    INSERTED,
    LEAVE,
    NEVER,
    Ground,
    Shape,
    Step,
    Values,
    doubts,
    images,
    values,
    walk,
)

# All numbers here are ours, set on invented pairs (docs/evidence.md).
UNEVEN, IRREGULAR = 0.4, 0.05  # a step in other note values: for each bar more, or within a bar
RESTS_TAKEN_IN = 0.4  # if one of its bars only rests: then it is more likely to be no part of it
EVEN = 0.02  # by how much note values may differ and still be the same
MOST, CLEARLY = 0.5, 0.8  # of the bars of one side, and how like the others they must be on average
STRANGE, STRANGER = 0.6, 0.25  # a bar less like its partner than that, and than those around
MOST_OF_IT = 0.75  # of what one side has there, from which on it is the same music
CHANCE, SURELY = 1.5, 1.5  # how many times what chance gains must be gained, and how much more
UNDECIDED = 0.5  # how sure it is that such a bar comes from nowhere
PINNED = 100.0
SHARP = 0.25  # how much better the best way must be for its bars to be fairly sure


@dataclass(frozen=True)
class Path:
    """The way taken along an original: steps over its pieces (bars, or beats).

    `times` is the change of note values in most steps. `strange` are rows that were kept from
    standing beside something that only those around them stand beside.
    """

    like: Likeness
    ground: Ground
    steps: tuple[Step, ...]
    times: Fraction
    strange: frozenset[int] = frozenset()

    @cached_property
    def known(self) -> Values:
        """What is still to be gained from every place."""
        return values(self.ground)

    @property
    def gained(self) -> float:
        """What the whole way gains beyond leaving everything unmatched."""
        return _gained(self.ground, self.known)

    @property
    def beyond_chance(self) -> bool:
        """Whether it gains more than two pieces that have nothing to do with each other."""
        turned = _reversed(self.ground)
        return self.gained > CHANCE * _gained(turned, values(turned)) + SURELY

    @property
    def sure(self) -> Floats:
        """How sure each row is of its place: 0 to 1 [rows]."""
        sure = self._sureness[0].copy()
        sure[sorted(self.strange)] = UNDECIDED
        return sure

    @property
    def lacking(self) -> Floats:
        """How sure it is of each piece that nothing stands beside it if nothing does [pieces]."""
        return self._sureness[1]

    @cached_property
    def _sureness(self) -> tuple[Floats, Floats]:
        return _sureness(self.ground, self.known, self.like.same(), self.steps)

    @property
    def likeness(self) -> float:
        """The mean likeness of what stands beside each other; 0 where nothing does."""
        found = [self.like.of((one.rows, one.bars))[one.row, one.bar] for one in self.steps]
        return float(np.mean(found)) if found else 0.0


def best_path(
    like: Likeness,
    shapes: Sequence[Shape],
    signs: Sequence[tuple[int, int]],
    pins: Mapping[int, Ints],
    slack: float = 0.0,
) -> Path:
    """Return the best way; without steps where the two have no more in common than by chance.

    `pins` gives the pieces at which a row may stand where the teacher has said so. Steps that are
    no more than `slack` quarters too long or too short are merely irregular.
    """
    times = Fraction(1)
    ground = _ground(like, shapes, times, signs, pins, slack)
    steps = walk(ground, values(ground))
    if (usual := _augmentation(like, steps)) != times:
        times = usual
        ground = _ground(like, shapes, times, signs, pins, slack)
        steps = walk(ground, values(ground))
    used = {*shapes[:1], *((one.rows, one.bars) for one in steps)}
    gains = {shape: gain for shape, gain in ground.gains.items() if shape in used}
    whole = Path(like, replace(ground, gains=gains), tuple(steps), times)
    if not (pins or _alike(whole) or whole.beyond_chance):
        return replace(whole, steps=())
    kept = _without_strangers(steps, like, pins)
    if not (strangers := set(steps) - set(kept)):
        return whole
    kept = _without_strangers(_around(whole.ground, strangers), like, pins)
    strange = {one.row + at for one in strangers for at in range(one.rows)}
    strange -= {one.row + at for one in kept for at in range(one.rows)}
    return replace(whole, steps=tuple(kept), strange=frozenset(strange))


def _ground(
    like: Likeness,
    shapes: Sequence[Shape],
    times: Fraction,
    signs: Sequence[tuple[int, int]],
    pins: Mapping[int, Ints],
    slack: float,
) -> Ground:
    """Weigh every step."""
    gains = {}
    for shape in shapes:
        rows, bars = shape
        gain = 0.5 * (rows + min(bars, 4 * rows)) * (like.of(shape) - COMMON)
        uneven = _uneven(like, shape, float(times), slack)
        gain -= uneven
        if max(shape) > 1:
            gain -= RESTS_TAKEN_IN * ((uneven > 0.0) & like.beside_rests(shape))
        for row, pieces in pins.items():
            _pin(gain, shape, row, pieces)
        gain[~like.joined(rows)] = NEVER
        gains[shape] = gain
    leaps = np.concatenate([[0], np.diff(like.rows) - 1, [0]])
    return Ground(like.rows.size, like.original.bars, gains, leaps, signs, slack == 0.0)


def _uneven(like: Likeness, shape: Shape, times: float, slack: float) -> Floats:
    """Return what is lost by steps in other note values; worked out once for equal lengths."""
    (here, row), (there, bar) = (
        np.unique(np.round(lengths, 6), return_inverse=True) for lengths in like.lengths(shape)
    )
    over = here[:, None] - times * there[None, :]
    hardly = (shape[0] == shape[1]) | (np.abs(over) <= slack)
    lost = np.where(hardly, IRREGULAR, UNEVEN * (max(shape) - 1))
    lost[np.abs(over) <= EVEN * times * there[None, :]] = 0.0
    found: Floats = lost[row[:, None], bar[None, :]]
    return found


def _pin(gain: Floats, shape: Shape, row: int, pieces: Ints) -> None:
    """Let only those steps pass a row that set it beside one of the pieces it is pinned to."""
    right: dict[int, set[int]] = {}
    for at, bar in images(*shape):
        if 0 <= row - at < gain.shape[0]:
            right.setdefault(row - at, set()).update((pieces - bar).tolist())
    for begin, columns in right.items():
        allowed = [column for column in columns if 0 <= column < gain.shape[1]]
        kept = gain[begin, allowed] + PINNED
        gain[begin] -= PINNED
        gain[begin, allowed] = kept


def _gained(ground: Ground, known: Values) -> float:
    """Return what the best way gains beyond leaving all bars unmatched."""
    nothing = LEAVE + INSERTED * ground.rows + min(CUT + CUT_A_BAR * ground.bars, CUT_AT_MOST)
    return float(known.on[0, 0]) + nothing


def _reversed(ground: Ground) -> Ground:
    """Return the same bars of the original in reverse order: what two pieces share by chance."""
    gains = {shape: gain[:, ::-1] for shape, gain in ground.gains.items()}
    return replace(ground, gains=gains, signs=())


def _alike(whole: Path) -> bool:
    """Tell whether most of the shorter of the two is so like the other that chance is no matter.

    A few bars gain little, however much they are the same.
    """
    rows, bars = sum(one.rows for one in whole.steps), sum(one.bars for one in whole.steps)
    ground = whole.ground
    most = max(rows / max(1, ground.rows), bars / max(1, ground.bars)) >= MOST
    return most and whole.likeness >= CLEARLY


def _without_strangers(
    steps: Sequence[Step], like: Likeness, pins: Mapping[int, Ints]
) -> list[Step]:
    """Leave out steps that stand in their place only because those around them do.

    Their bars have less in common than any two, and much less than those around, and neither has
    most of the other in it: a thin bar may be much added to, or much be left out of a full one.
    """
    likeness = np.array([like.of((one.rows, one.bars))[one.row, one.bar] for one in steps])
    kept = []
    for at, one in enumerate(steps):
        around = float(np.median(likeness[max(0, at - 4) : at + 5]))
        strange = likeness[at] < min(STRANGE, around - STRANGER) and like.within(one) < MOST_OF_IT
        if not strange or pins.keys() & range(one.row, one.row + one.rows):
            kept.append(one)
    return kept


def _around(ground: Ground, strangers: Collection[Step]) -> list[Step]:
    """Return the best way that sets no strangers beside each other."""
    gains = {shape: gain.copy() for shape, gain in ground.gains.items()}
    for one in strangers:
        gains[one.rows, one.bars][one.row, one.bar] = NEVER
    without = replace(ground, gains=gains)
    return walk(without, values(without))


def _augmentation(like: Likeness, steps: Sequence[Step]) -> Fraction:
    """Return the change of note values in most steps."""
    found: Counter[Fraction] = Counter()
    lengths = {shape: like.lengths(shape) for shape in {(one.rows, one.bars) for one in steps}}
    for one in steps:
        here, there = lengths[one.rows, one.bars]
        times = float(here[one.row]) / max(float(there[one.bar]), 1e-9)
        if times > 0.0:
            found[Fraction(times).limit_denominator(8)] += one.rows
    return found.most_common(1)[0][0] if found else Fraction(1)


def _sureness(
    ground: Ground, known: Values, same: Flags, steps: Sequence[Step]
) -> tuple[Floats, Floats]:
    """Return how sure each row is of its place, or of having none [rows]; and each piece if alone.

    Both are 0 to 1: how much less any other way is worth.
    """
    beside, none = doubts(ground, known)
    mine = np.zeros((ground.rows, ground.bars), dtype=np.bool_)
    for one in steps:
        reach = one.bars if one.rows == 1 else 1  # a bar that lies over the right one is right
        for at, bar in images(one.rows, one.bars):
            mine[one.row + at] |= same[one.bar + bar]
            mine[one.row + at, max(0, one.bar - reach + 1) : one.bar + reach] = True
    matched = mine.any(axis=1)
    own = np.where(mine, beside, -np.inf).max(axis=1, initial=NEVER)
    others = np.where(mine, -np.inf, beside).max(axis=1, initial=NEVER)
    better = np.where(matched, own - np.maximum(others, none), none - others)
    whole = float(known.on[0, 0])
    return _chance(better), _chance(whole - beside.max(axis=0, initial=NEVER))


def _chance(better: Floats) -> Floats:
    chance: Floats = 1.0 / (1.0 + np.exp(-np.clip(better / SHARP, -30.0, 30.0)))
    return chance
