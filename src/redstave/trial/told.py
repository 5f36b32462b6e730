"""The levels and techniques in force of a line, changed between two ticks."""

from bisect import bisect_right
from collections.abc import Callable, Iterator, Sequence

from redstave.model.line import LevelPoint, TechniquePoint
from redstave.players import level_at, level_before
from redstave.trial.parting import Stretch


def levels_within(
    points: Sequence[LevelPoint], stretch: Stretch, change: Callable[[float], float], flat: bool
) -> tuple[LevelPoint, ...]:
    """Return level points with the level changed inside a stretch; `flat` drops every swell in it.

    Level points may share a tick: the last of them is where the level goes on from.
    """
    return (
        *(point for point in points if point.tick < stretch.start),
        *_arrival(points, stretch.start),
        *_inside(points, stretch, change, flat),
        *_departure(points, stretch, change, flat),
        *(point for point in points if point.tick > stretch.stop),
    )


def _arrival(points: Sequence[LevelPoint], tick: int) -> Iterator[LevelPoint]:
    """Yield the end of a swell that comes from before a tick, at the level it has reached."""
    if tick > points[0].tick and _ramp(points, tick - 1):
        before = level_before(points, tick)
        yield LevelPoint(tick, before.level, False, before.known, "")


def _inside(
    points: Sequence[LevelPoint], stretch: Stretch, change: Callable[[float], float], flat: bool
) -> Iterator[LevelPoint]:
    first = level_at(points, stretch.start)
    cause = _point(points, stretch.start).cause
    ramp = not flat and _ramp(points, stretch.start)
    yield LevelPoint(stretch.start, change(first.level), ramp, flat or first.known, cause)
    if not flat:
        for point in points:
            if stretch.start < point.tick < stretch.stop:
                yield point._replace(level=change(point.level))


def _departure(
    points: Sequence[LevelPoint], stretch: Stretch, change: Callable[[float], float], flat: bool
) -> Iterator[LevelPoint]:
    """Yield the end of a changed swell, and what goes on unchanged after the stretch."""
    if not flat and _ramp(points, stretch.stop - 1):
        before = level_before(points, stretch.stop)
        yield LevelPoint(stretch.stop, change(before.level), False, before.known, "")
    after = level_at(points, stretch.stop)
    point = _point(points, stretch.stop)
    yield LevelPoint(stretch.stop, after.level, point.ramp, after.known, point.cause)


def _point(points: Sequence[LevelPoint], tick: int) -> LevelPoint:
    return points[max(0, bisect_right(points, tick, key=lambda point: point.tick) - 1)]


def _ramp(points: Sequence[LevelPoint], tick: int) -> bool:
    """Tell whether a swell is under way from a tick on."""
    last = bisect_right(points, tick, key=lambda point: point.tick)
    return 0 < last < len(points) and points[last - 1].ramp


def techniques_within(
    points: Sequence[TechniquePoint], stretch: Stretch, technique: str
) -> tuple[TechniquePoint, ...]:
    """Return technique points with one technique alone in force inside a stretch."""
    known = points or (TechniquePoint(0),)
    after = known[max(0, bisect_right(known, stretch.stop, key=lambda one: one.tick) - 1)]
    return (
        *(point for point in known if point.tick < stretch.start),
        _with_technique(TechniquePoint(stretch.start), technique),
        after._replace(tick=stretch.stop),
        *(point for point in known if point.tick > stretch.stop),
    )


def _with_technique(point: TechniquePoint, technique: str) -> TechniquePoint:
    """Return a point with a technique in force; harmonics are signs on notes, not words."""
    match technique:
        case "pizz" | "col-legno":
            return point._replace(bow=technique)
        case "mute":
            return point._replace(mute=True)
        case "tremolo":
            return point._replace(tremolo=True)
        case "stopped":
            return point._replace(stopped=True)
    return point
