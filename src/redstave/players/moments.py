"""What one line is told at a moment: its level, the words in force, an accent.

Levels and words change at few ticks. Between two changes all notes are told the same, and as notes
come nearly in the order of time, what was told last is mostly told again.
"""

from bisect import bisect_right
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from redstave.model.line import TechniquePoint
from redstave.players.levels import AFTER_ALL, LevelTrack
from redstave.players.techniques import one_technique

_new = tuple.__new__  # for what is made by the ten thousand: half the time of Moment(…)


class Orders(NamedTuple):
    """What one line is told, by stave: levels, accented ticks, techniques in words."""

    levels: Mapping[int, LevelTrack]
    accents: Mapping[int, frozenset[int]]
    techniques: Mapping[int, tuple[TechniquePoint, ...]]


class Moment(NamedTuple):
    """What one line is told from one tick to another.

    `level`, `known` and `words` hold at its start, `level_stop` just before its end; `technique` is
    that of a note without a sign.
    """

    level: float
    level_stop: float
    known: bool
    words: TechniquePoint
    technique: str
    accented: bool


class Course:
    """What one line is told on one stave, from the first tick to the last."""

    def __init__(self, orders: Orders, stave: int) -> None:
        self._track = orders.levels.get(stave) or orders.levels[1]
        self._accents = orders.accents.get(stave, frozenset())
        self._points: Sequence[TechniquePoint] = (
            orders.techniques.get(stave) or orders.techniques[1]
        )
        self._changes = tuple([point.tick for point in self._points])
        self._words = self._points[0]  # in force now, up to `_next`
        self._technique = one_technique(self._words, "")
        self._next = self._changes[1] if len(self._changes) > 1 else AFTER_ALL
        # From `_since` to `_until` nothing changes: `_told` is told, and with an accent `_struck`.
        self._since, self._until = 0, -1
        self._told = self._struck = Moment(0.0, 0.0, False, self._points[0], "", False)

    def over(self, start: int, stop: int) -> Moment:
        """Return what is told from one tick to another that is not before it."""
        if start < self._since or start >= self._until or stop > self._until:
            moment = self._ahead(start, stop)
            if moment is not None:
                return moment
        return self._struck if start in self._accents else self._told

    def _ahead(self, start: int, stop: int) -> Moment | None:
        """Go where nothing changes from a tick on; return what is told where something does."""
        level, level_stop, known, since, until = self._track.over(start, stop)
        if len(self._changes) > 1:
            self._turn_to(bisect_right(self._changes, start) - 1)
        words, technique = self._words, self._technique
        since, until = max(since, words.tick), min(until, self._next)
        if since == until or stop > until:
            accented = start in self._accents
            return _new(Moment, (level, level_stop, known, words, technique, accented))
        self._since, self._until = since, until
        self._told = _new(Moment, (level, level, known, words, technique, False))
        self._struck = _new(Moment, (level, level, known, words, technique, True))
        return None

    def _turn_to(self, at: int) -> None:
        """Let the words of a place (index) be in force."""
        if self._points[at] is not self._words:
            self._words = self._points[at]
            self._technique = one_technique(self._words, "")
            self._next = self._changes[at + 1] if at + 1 < len(self._changes) else AFTER_ALL
