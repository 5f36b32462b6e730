"""The level in force on a stave at every tick.

A hairpin, or a word with dashes, leads to the next level mark when that stands within a beat of its
end and lies in its direction; so does a bare "cresc." to the next mark, unless a rest of a bar or
more comes first. Without such a goal the level moves by one written step (two after "molto"): an
assumption, named once among the open questions. Levels carry over rests. Before the first mark mf
is assumed and `known` is false.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from typing import NamedTuple

from redstave.model.line import LevelPoint
from redstave.players.dynamics import OPEN, Instruction

ASSUMED_LEVEL = 5.0  # mf; common practice, no source
SOFTEST, LOUDEST = 1.0, 8.0
AFTER_ALL = 1 << 62  # a tick behind the end of any score


class InForce(NamedTuple):
    """The level at one instant, and whether the page says so."""

    level: float
    known: bool


class Swell(NamedTuple):
    """A gradual change with both ends settled; `goal` is None when no mark says how far it goes."""

    start: int
    stop: int
    steps: float
    goal: Instruction | None
    cause: str


def level_at(points: Sequence[LevelPoint], tick: float) -> InForce:
    """Return the level in force from a tick on; a change at the tick has happened."""
    return _between(points, bisect_right(points, tick, key=_tick) - 1, tick)


def level_before(points: Sequence[LevelPoint], tick: float) -> InForce:
    """Return the level just before a tick; a change at the tick has not happened yet."""
    return _between(points, max(0, bisect_left(points, tick, key=_tick) - 1), tick)


def _tick(point: LevelPoint) -> int:
    return point.tick


def _between(points: Sequence[LevelPoint], index: int, tick: float) -> InForce:
    return InForce(_height(points, max(0, index), tick), points[max(0, index)].known)


def _height(points: Sequence[LevelPoint], index: int, tick: float) -> float:
    """Return the level at a tick that lies between the point of an index and the next."""
    point = points[index]
    if not point.ramp or index + 1 >= len(points):
        return point.level
    after = points[index + 1]
    part = (tick - point.tick) / (after.tick - point.tick)
    return point.level + part * (after.level - point.level)


class LevelTrack(NamedTuple):
    """The levels of one stave; `assumed` counts the swells that lead to no mark.

    `ticks` are those of the points, kept to look a level up quickly; `played` tells that levels
    were estimated from how the tones are struck.
    """

    points: tuple[LevelPoint, ...]
    assumed: int
    ticks: tuple[int, ...]
    played: bool = False

    def over(self, start: int, stop: int) -> "Spell":
        """Return what is in force from a tick to another.

        As `level_at` and `level_before`; the same level twice if `stop` does not come later.
        """
        points, ticks = self.points, self.ticks
        index = max(0, bisect_right(ticks, start) - 1)
        point = points[index]
        after = ticks[index + 1] if index + 1 < len(ticks) else AFTER_ALL
        if not point.ramp and stop <= after:
            return _spell(Spell, (point.level, point.level, point.known, point.tick, after))
        level = _height(points, index, start)
        if stop <= start:
            return Spell(level, level, point.known, start, start)
        last = index if stop <= after else bisect_left(ticks, stop) - 1
        return _spell(Spell, (level, _height(points, last, stop), point.known, start, start))


class Spell(NamedTuple):
    """The level from one tick on, that just before another, and whether the first is known.

    From `since` to `until` nothing changes; they are one where the level moves.
    """

    level: float
    level_stop: float
    known: bool
    since: int
    until: int


_spell = tuple.__new__  # for what is made by the ten thousand


def level_track(told: Sequence[Instruction], silences: Sequence[int], quarter: int) -> LevelTrack:
    """Return the levels of one stave from its instructions in the order of time.

    `silences` are the ticks at which a rest of at least a bar begins (and the end of the last
    note), sorted; `quarter` is the number of ticks in a quarter note.
    """
    marks = [one for one in told if one.kind in {"set", "bound", "step", "played"}]
    swells = settle([one for one in told if one.kind == "swell"], marks, silences, quarter)
    track = _Track()
    events: list[Instruction | Swell] = [*marks, *swells]
    for event in sorted(events, key=_when):
        if isinstance(event, Swell):
            track.swell(event)
        else:
            track.mark(event)
    track.finish()
    return LevelTrack(
        tuple(track.points),
        track.assumed,
        tuple(point.tick for point in track.points),
        any(one.kind == "played" for one in marks),
    )


def _when(event: Instruction | Swell) -> tuple[int, bool]:
    return (event.start, True) if isinstance(event, Swell) else (event.tick, False)


def settle(
    swells: Sequence[Instruction],
    marks: Sequence[Instruction],
    silences: Sequence[int],
    quarter: int,
) -> list[Swell]:
    """Give every swell its end and its goal; swells that go on in one direction become one."""
    told = _without_doubles(swells)
    settled: list[Swell] = []  # from the last to the first
    for swell in reversed(told):
        after = settled[-1] if settled else None
        mark = _next(marks, swell.tick)
        if swell.stop == OPEN:
            found, absorbs = _settle_open(
                swell, mark, after, _first_after(silences, swell.tick), quarter
            )
        else:
            found, absorbs = _settle_printed(swell, mark, after, quarter)
        if absorbs:
            settled.pop()
        settled.append(found)
    return settled[::-1]


def _without_doubles(swells: Sequence[Instruction]) -> list[Instruction]:
    """Read a word and a hairpin that begin together and go one way as one, with the printed end."""
    kept: dict[tuple[int, bool], Instruction] = {}
    for swell in swells:
        key = (swell.tick, swell.value > 0)
        known = kept.get(key)
        if known is None or known.stop == OPEN or swell.stop > known.stop:
            kept[key] = swell
    return sorted(kept.values(), key=lambda swell: swell.tick)


def _settle_printed(
    swell: Instruction, mark: Instruction | None, after: Swell | None, beat: int
) -> tuple[Swell, bool]:
    """Settle a hairpin, or a word whose dashes show its end."""
    if mark is not None and mark.tick <= swell.stop + beat and not mark.sudden:
        return _swell(swell, min(swell.stop, mark.tick), mark), False
    if _goes_on(swell, after, swell.stop):
        assert after is not None
        return _joined(swell, after), True
    return _swell(swell, swell.stop, None), False


def _settle_open(
    swell: Instruction,
    mark: Instruction | None,
    after: Swell | None,
    silence: int | None,
    beat: int,
) -> tuple[Swell, bool]:
    """Settle a word without dashes: up to the next mark, the next swell or the next long rest."""
    ends = [tick for tick in (silence, mark and mark.tick, after and after.start) if tick]
    stop = min(ends, default=swell.tick + beat)
    if after is not None and after.start == stop and (mark is None or mark.tick > stop):
        if _goes_on(swell, after, stop):
            return _joined(swell, after), True
        return _swell(swell, stop, None), False
    near = mark is not None and mark.tick <= stop + beat and not mark.sudden
    return _swell(swell, stop, mark if near else None), False


def _goes_on(swell: Instruction, after: Swell | None, limit: int) -> bool:
    return after is not None and after.start <= limit and (after.steps > 0) == (swell.value > 0)


def _joined(swell: Instruction, after: Swell) -> Swell:
    steps = max(swell.value, after.steps, key=abs)
    return Swell(swell.tick, after.stop, steps, after.goal, swell.cause)


def _swell(swell: Instruction, stop: int, goal: Instruction | None) -> Swell:
    if swell.to:
        goal = swell._replace(tick=stop, kind="set", value=swell.to)
    return Swell(swell.tick, stop, swell.value, goal, swell.cause)


def _next(marks: Sequence[Instruction], tick: int) -> Instruction | None:
    index = bisect_right(marks, tick, key=lambda mark: mark.tick)
    return marks[index] if index < len(marks) else None


def _first_after(ticks: Sequence[int], tick: int) -> int | None:
    index = bisect_right(ticks, tick)
    return ticks[index] if index < len(ticks) else None


class _Track:
    """Walks through time and writes the points down."""

    def __init__(self) -> None:
        self.points = [LevelPoint(0, ASSUMED_LEVEL, False, False, "")]
        self.assumed = 0
        self._marked = ASSUMED_LEVEL  # the level of the last mark, without the swells since
        self._running: tuple[Swell, float] | None = None

    @property
    def _last(self) -> LevelPoint:
        return self.points[-1]

    def mark(self, told: Instruction) -> None:
        """Set or step the level."""
        self._arrive(told.tick)
        known = told.kind in {"set", "bound"} or (told.kind == "step" and self._last.known)
        level = _led_to(told, self._last)
        self._write(told.tick, level, False, known, told.cause)
        self._marked = level

    def swell(self, swell: Swell) -> None:
        """Begin a gradual change."""
        self._arrive(swell.start)
        if swell.stop <= swell.start:
            return
        level, known = self._last.level, self._last.known
        goal = _goal(swell, level)
        if goal is None and (level - self._marked) * swell.steps > 0:
            level = self._marked
            goal = _goal(swell, level)
        self._write(swell.start, level, True, known, swell.cause)
        self.assumed += goal is None
        self._running = (swell, _clamp(level + swell.steps) if goal is None else goal)

    def finish(self) -> None:
        """Let the last change arrive."""
        if self._running is not None:
            self._arrive(self._running[0].stop)

    def _arrive(self, tick: int) -> None:
        """End the running change at its end, or at `tick` when that comes first."""
        if self._running is None:
            return
        swell, target = self._running
        start = self._last
        stop = min(swell.stop, tick)
        if stop > start.tick:
            part = (stop - start.tick) / (swell.stop - start.tick)
            level = start.level + part * (target - start.level)
            known = start.known or (part == 1.0 and swell.goal is not None)
            self._write(stop, level, False, known, swell.cause)
        self._running = None

    def _write(self, tick: int, level: float, ramp: bool, known: bool, cause: str) -> None:
        point = LevelPoint(tick, level, ramp, known, cause)
        if self._last.tick == tick and (self._last.level == level or len(self.points) == 1):
            self.points[-1] = point
        else:
            self.points.append(point)


def _led_to(told: Instruction, before: LevelPoint) -> float:
    """Return the level that an instruction leads to from the one in force."""
    if told.kind == "step":
        return _clamp(before.level + told.value)
    if told.kind == "bound" and before.known:
        bound = min if told.value < ASSUMED_LEVEL else max
        return bound(told.value, before.level)
    return told.value


def _goal(swell: Swell, level: float) -> float | None:
    """Return the level a swell leads to, None when no mark lies ahead in its direction."""
    if swell.goal is None:
        return None
    goal = swell.goal.goal if swell.goal.kind != "step" else _clamp(level + swell.goal.value)
    return goal if (goal - level) * swell.steps > 0 else None


def _clamp(level: float) -> float:
    return min(LOUDEST, max(SOFTEST, level))
