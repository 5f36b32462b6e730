"""How the tempo goes: from what the page says to stretches of steady or moving tempo.

A change without a goal ("rit.", "accel.") leads to the next tempo when that lies in its direction
and not too far, else by an assumed ratio, and lasts up to the next word about tempo. Where none
follows within reach it ends at the next double bar, repeat or fermata, else after some bars, and
the old tempo comes back: an assumption that is told. "A tempo" returns to the tempo before the
change.
"""

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Iterator, Sequence
from itertools import groupby
from math import log
from typing import NamedTuple

from redstave.model.score import Score
from redstave.players.tempo_marks import (
    CHANGES,
    NEW,
    OPEN,
    PLAYBACK,
    WORD,
    Meters,
    Statement,
    beat_at,
)
from redstave.players.tempo_words import lengths

ASSUMED_TEMPO = 90.0  # quarters a minute; an assumption, no source
_FURTHEST = 2.0  # a "poco rit." does not lead from Allegro to Lento; our assumption, no source
_JOINTS = frozenset({"light-light", "light-heavy", "heavy-light", "heavy-heavy"})


class Stated(NamedTuple):
    """A tempo that holds from `tick` on, in quarters a minute; `assumed` when it rests on words."""

    tick: int
    quarters: float
    assumed: bool
    text: str


class Change(NamedTuple):
    """A gradual change, or one at once ("held"), with its end settled.

    `goal` is the tempo it leads to and `ratio` how that stands to the tempo before; `told` says
    whether the page gives the goal, `returns` whether the old tempo comes back at `stop` without a
    word.
    """

    start: int
    stop: int
    kind: str
    goal: float
    ratio: float
    told: bool
    returns: bool
    text: str


class Stretch(NamedTuple):
    """From `tick` on the tempo moves from `quarters` to `goal` a minute."""

    tick: int
    quarters: float
    goal: float


class Course(NamedTuple):
    """The tempos and changes of a score, and the stretches they make."""

    tempos: tuple[Stated, ...]
    changes: tuple[Change, ...]
    stretches: tuple[Stretch, ...]


def course(score: Score, said: Sequence[Statement], known: Meters) -> Course:
    """Follow the statements about tempo through a score."""
    begun = _merged([one for one in said if one.said.kind in CHANGES], said)
    tempos, goals = _resolved(said, begun, _Clock(known, opening(score)))
    end = score.bars[-1].start + score.bars[-1].length if score.bars else 0
    changes = tuple(_changes(score, begun, tempos, goals, end))
    return Course(tempos, changes, tuple(_stretches(tempos, changes)))


def opening(score: Score) -> int:
    """Return the last tick at which a tempo counts as the first: a pickup may stand before it."""
    if len(score.bars) < 2:
        return 0
    first, second = score.bars[:2]
    return first.length if first.length < second.length else first.length - 1


def _merged(changes: Sequence[Statement], said: Sequence[Statement]) -> list[Statement]:
    """Read changes of one kind that go on, without a new tempo between, as one."""
    news = sorted({one.tick for one in said if one.said.kind in NEW})
    kept: list[Statement] = []
    for one in changes:
        last = kept[-1] if kept else None
        if last is None or _between(news, last.tick, one.tick) or not _goes_on(last, one):
            kept.append(one)
            continue
        strongest = max(last.said.value, one.said.value, key=lambda ratio: abs(ratio - 1.0))
        lasting = last.said.lasting or one.said.lasting
        stop = OPEN if OPEN in (last.stop, one.stop) else max(last.stop, one.stop)
        kept[-1] = last._replace(
            said=last.said._replace(value=strongest, lasting=lasting), stop=stop
        )
    return kept


def _goes_on(one: Statement, other: Statement) -> bool:
    """Whether a later change still finds the one before under way, in the same direction."""
    alike = (one.said.value < 1.0) == (other.said.value < 1.0)
    return alike and (one.stop == OPEN or one.stop >= other.tick)


def _between(ticks: Sequence[int], after: int, upto: int) -> bool:
    index = bisect_right(ticks, after)
    return index < len(ticks) and ticks[index] <= upto


def _resolved(
    said: Sequence[Statement], begun: Sequence[Statement], clock: "_Clock"
) -> tuple[tuple[Stated, ...], dict[int, float]]:
    """Return the tempos in the order of time, and the goals that playback gives for changes.

    Playback often writes a ritardando as one slower tempo at its word: that is a goal.
    """
    starts = {one.tick: one for one in begun}
    goals: dict[int, float] = {}
    by_tick = {tick: list(ones) for tick, ones in groupby(said, key=lambda one: one.tick)}
    for tick in sorted(by_tick):
        new = [one for one in by_tick[tick] if one.said.kind in NEW]
        change = starts.get(tick)
        if new and clock.at_beginning and tick > clock.opening:
            clock.open()
        if new and change and new[0].rank == PLAYBACK and clock.leads(new[0], change):
            goals[tick] = new[0].said.value
        elif new:
            clock.tell(new)
        if change:
            clock.moved = True
    if clock.at_beginning:
        clock.open()
    return tuple(clock.tempos), goals


class _Clock:
    """Keeps the tempo while statements are read in the order of time."""

    def __init__(self, known: Meters, opening: int) -> None:
        self.tempos: list[Stated] = []
        self.opening = opening
        self.moved = False  # a change has begun since the last tempo
        self._known = known
        self._base = 0.0  # the last tempo that is no comparison

    @property
    def at_beginning(self) -> bool:
        return not self.tempos

    @property
    def _now(self) -> float:
        return self.tempos[-1].quarters if self.tempos else ASSUMED_TEMPO

    def open(self) -> None:
        """Begin with the assumed tempo because the page begins with none."""
        self._base = ASSUMED_TEMPO
        self.tempos.append(Stated(0, ASSUMED_TEMPO, True, ""))

    def leads(self, playback: Statement, change: Statement) -> bool:
        """Whether a tempo for playback lies where a change goes."""
        return (playback.said.value - self._now) * (change.said.value - 1.0) > 0.0

    def tell(self, new: Sequence[Statement]) -> None:
        """Take the best of the statements that stand at one tick."""
        best = new[0]
        word = next((one for one in new if one.said.kind == "compared"), None)
        if best.rank == PLAYBACK and word is not None and not self.leads(best, word):
            best = word  # playback did not follow the page
        value, kind = best.said.value, best.said.kind
        if self.at_beginning and kind not in {"number", "heading"}:
            self.open()
            if best.tick == 0:
                return
        tick = best.tick if self.tempos else 0
        quarters = self._quarters(kind, value, best.tick)
        if kind not in {"compared", "back"}:
            self._base = quarters
        assumed = best.rank >= WORD and kind not in {"same", "back", "first", "number"}
        self.tempos.append(Stated(tick, quarters, assumed, best.text if assumed else ""))
        self.moved = False

    def _quarters(self, kind: str, value: float, tick: int) -> float:
        match kind:
            case "number" | "heading":
                return value
            case "compared":
                return round(self._compared(value), 1)
            case "equal":
                return self._now * value
            case "same":
                return self._now * beat_at(self._known, tick) / beat_at(self._known, tick - 1)
            case "first":
                return self.tempos[0].quarters
        return self._now if self.moved else self._base

    def _compared(self, ratio: float) -> float:
        """Return a tempo by comparison: the same direction twice is no faster still."""
        already = (self._now - self._base) * (ratio - 1.0) > 0.0
        return (self._base if already else self._now) * ratio


def _changes(
    score: Score,
    begun: Sequence[Statement],
    tempos: Sequence[Stated],
    goals: dict[int, float],
    end: int,
) -> Iterator[Change]:
    joints = _joints(score)
    ticks = [one.tick for one in tempos]
    for index, one in enumerate(begun):
        after = bisect_right(ticks, one.tick)
        now = tempos[after - 1].quarters
        following = tempos[after] if after < len(tempos) else None
        stops = [following.tick] if following else []
        stops += [begun[index + 1].tick] if index + 1 < len(begun) else []
        stop, returns = _end(score, one, min(stops, default=None), joints, end)
        if stop <= one.tick:
            continue
        goal = goals.get(one.tick, 0.0)
        if following is not None and following.tick == stop and not goal:
            goal = following.quarters if _leads_to(following.quarters / now, one) else 0.0
        told = bool(goal) and one.said.kind != "held"
        goal = goal if told else now * one.said.value
        yield Change(one.tick, stop, one.said.kind, goal, goal / now, told, returns, one.text)


def _leads_to(ratio: float, change: Statement) -> bool:
    """Whether a change leads to a tempo: in its direction, and not further than twice as usual."""
    return 0.0 < log(ratio) / log(change.said.value) <= _FURTHEST


def _end(
    score: Score, one: Statement, stop: int | None, joints: Sequence[int], end: int
) -> tuple[int, bool]:
    """Return where a change ends, and whether the old tempo comes back there without a word."""
    length = lengths()["gradually" if one.said.lasting else "plain"]
    bar = score.bar_at(one.tick)
    far = _start_of(score, bar + round(length["reach"].number))
    if one.stop != OPEN:
        return min(one.stop, stop or end), one.stop < (stop or end) and (stop or end) > far
    if stop is not None and stop <= far:
        return stop, False
    last = one.said.lasting or not _between(joints, one.tick, end - 1)
    if stop is None and end <= far and last:
        return end, False
    usual = _start_of(score, bar + round(length["bars"].number))
    joint = next((tick for tick in joints if one.tick < tick <= far), usual)
    return min(joint, end), joint < end


def _start_of(score: Score, bar: int) -> int:
    if bar < len(score.bars):
        return score.bars[bar].start
    return score.bars[-1].start + score.bars[-1].length


def _joints(score: Score) -> tuple[int, ...]:
    """Return where something ends for the eye: double bars, repeats, bars with a fermata."""
    bars = {
        mark.bar
        for part in score.parts
        for mark in part.marks_of("barline", "repeat", "fermata")
        if mark.kind == "fermata" or mark.name in _JOINTS or mark.name == "backward"
    }
    return tuple(sorted(score.bars[bar].start + score.bars[bar].length for bar in bars))


def _stretches(tempos: Sequence[Stated], changes: Sequence[Change]) -> Iterator[Stretch]:
    """Yield the stretches in the order of time; later ones replace earlier ones at a tick."""
    found: dict[int, Stretch] = {
        one.tick: Stretch(one.tick, *2 * (one.quarters,)) for one in tempos
    }
    ticks = [one.tick for one in tempos]
    now: dict[int, float] = defaultdict(float)
    for change in changes:
        stated = tempos[bisect_right(ticks, change.start) - 1].quarters
        before = now.pop(change.start, stated)
        at_once = change.kind == "held"
        goal = _beyond(change, before)
        found[change.start] = Stretch(change.start, goal if at_once else before, goal)
        if change.returns:
            found.setdefault(change.stop, Stretch(change.stop, stated, stated))
        elif change.stop not in found:
            found[change.stop] = Stretch(change.stop, goal, goal)
            now[change.stop] = goal
    yield from (found[tick] for tick in sorted(found))


def _beyond(change: Change, before: float) -> float:
    """Return the goal of a change, further on when the tempo has already passed it."""
    passed = (change.goal - before) * (change.ratio - 1.0) <= 0.0
    return before * change.ratio if passed else change.goal
