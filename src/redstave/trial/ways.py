"""Ways out: the smallest changes that bring a covered line to the ear, each heard again in full."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import islice
from statistics import NormalDist

import numpy as np

from redstave.analysis import Analysis
from redstave.analysis.hearing import Hearing
from redstave.analysis.leading import LEAST_QUARTERS, tune_rows
from redstave.analysis.passages import Heard, heard
from redstave.analysis.state import HEARD_FROM, State
from redstave.model.change import Change
from redstave.trial.compare import Trial, attempt, rows_of
from redstave.trial.moves import Kind, Move, moves, scene
from redstave.trial.search import added, cheapest
from redstave.trial.window import Effect, Listener, Pull, Window, effects, listener, window

MOST_WAYS = 3
MOST_HEARD_AGAIN = 12  # sets that promise enough, of one kind, before it is given up
SLACK_DB = 1.5  # what a prediction may err by (0.4 for 6 dB, more for 15); hearing in full decides
HEARD_SD = NormalDist().inv_cdf(HEARD_FROM)  # how many sd the margin of a heard line is above 0
MOST_MOVES = {Kind.QUIETEN: 3, Kind.STRENGTHEN: 1, Kind.THIN: 2, Kind.REGISTER: 1}
MIXED, MOST_MIXED = (Kind.QUIETEN, Kind.STRENGTHEN, Kind.THIN), 3


@dataclass(frozen=True)
class WayOut:
    """Changes that bring a line (index) to be heard, with what is heard of it before and after."""

    kind: Kind
    trial: Trial
    line: int
    before: Heard
    after: Heard
    cost: float

    @property
    def changes(self) -> tuple[Change, ...]:
        """What to change."""
        return self.trial.changes


def ways_out(analysis: Analysis, line: int, first: int, last: int) -> tuple[WayOut, ...]:
    """Return up to three ways to have a line (index) heard in bars (indices, both inside).

    The cheapest of each kind, cheapest first; none where the line is heard already, does not sound
    there, or cannot be brought out without covering a tune that is heard.
    """
    rows = rows_of(analysis.hearing, line, first, last)
    if rows.size == 0:
        return ()
    before = heard(analysis.hearing, rows)
    if before.state is State.HEARD:
        return ()
    search = _search(analysis, line, first, last, before)
    pure = [search.best([kind], most) for kind, most in MOST_MOVES.items()]
    found = [way for way in pure if way is not None]
    least = min((way.cost for way in found), default=math.inf)
    if (mixed := search.best(MIXED, MOST_MIXED, least)) is not None:
        found.append(mixed)
    return tuple(sorted(found, key=lambda way: way.cost)[:MOST_WAYS])


@dataclass(frozen=True)
class _Guard:
    """A tune that is heard and must stay so; `pulls` has one entry a move."""

    line: int
    who: Listener
    pulls: tuple[Pull, ...]

    def keeps(self, chosen: Sequence[int]) -> bool:
        """Tell whether the tune is likely to stay heard under a set of moves."""
        pull = added(self.who, self.pulls, chosen)
        return self.who.margin_db(pull) >= HEARD_SD * self.who.sd_db - SLACK_DB

    def is_kept(self, hearing: Hearing) -> bool:
        """Tell whether the tune is heard in another hearing, when it was followed before."""
        slices = self.who.view.slices
        times = np.unique(self.who.at)
        start, stop = slices.start[times], slices.stop[times]
        place = np.searchsorted(start, hearing.slices.start, side="right") - 1
        inside = (place >= 0) & (hearing.slices.start < stop[np.maximum(place, 0)])
        rows = np.flatnonzero(inside[hearing.slices.row_slice] & (hearing.line == self.line))
        return rows.size > 0 and heard(hearing, rows).state is State.HEARD


@dataclass(frozen=True)
class _Search:
    """All that one search needs; `pulls` has one entry a move of the pool."""

    analysis: Analysis
    line: int
    first: int
    last: int
    before: Heard
    pool: tuple[Move, ...]
    who: Listener
    pulls: tuple[Pull, ...]
    guards: tuple[_Guard, ...]

    def best(self, kinds: Sequence[Kind], most: int, below: float = math.inf) -> WayOut | None:
        """Return the cheapest way with moves of some kinds, all of them where there are several."""
        places = [at for at, move in enumerate(self.pool) if move.kind in kinds]
        pool, pulls = [self.pool[at] for at in places], [self.pulls[at] for at in places]
        needed = HEARD_SD * self.who.sd_db - SLACK_DB
        sets = cheapest(self.who, pool, pulls, needed, most, below)
        promising = (
            (found, chosen)
            for found in sets
            if len({pool[at].kind for at in found.chosen}) >= min(2, len(kinds))
            and self._keeps(chosen := [places[at] for at in found.chosen])
        )
        for found, chosen in islice(promising, MOST_HEARD_AGAIN):
            if (way := self._heard_again(chosen, found.cost)) is not None:
                return way
        return None

    def _keeps(self, chosen: Sequence[int]) -> bool:
        return all(guard.keeps(chosen) for guard in self.guards)

    def _heard_again(self, chosen: Sequence[int], cost: float) -> WayOut | None:
        """Make the changes and listen in full; None where they do not do what they promise."""
        made = [self.pool[at] for at in chosen]
        trial = attempt(self.analysis, [move.change for move in made])
        hearing = trial.after.hearing
        after = heard(hearing, rows_of(hearing, self.line, self.first, self.last))
        kept = all(guard.is_kept(hearing) for guard in self.guards)
        if after.state is not State.HEARD or not kept:
            return None
        kinds = {move.kind for move in made}
        kind = kinds.pop() if len(kinds) == 1 else Kind.TOGETHER
        return WayOut(kind, trial, self.line, self.before, after, cost)


def _search(analysis: Analysis, line: int, first: int, last: int, before: Heard) -> _Search:
    view = window(analysis, first, last)
    pool = tuple(moves(scene(analysis, view, line, first, last, before)))
    done = effects(view, [(move.lines, move.swap) for move in pool], analysis)
    who = listener(view, analysis, view.line == line)
    pulls = tuple(who.pull(effect) for effect in done)
    guards = tuple(_guards(analysis, view, who, done))
    return _Search(analysis, line, first, last, before, pool, who, pulls, guards)


def _guards(
    analysis: Analysis, view: Window, who: Listener, done: Sequence[Effect]
) -> Iterator[_Guard]:
    """Yield a guard for each line that is heard as a tune in the bars, besides the one to help."""
    followed = tune_rows(analysis)[view.rows] & (who.unit < 0)
    least = LEAST_QUARTERS * analysis.score.ticks_per_quarter
    for line in np.unique(view.line[followed]).tolist():
        rows = followed & (view.line == line)
        at = np.unique(view.slices.row_slice[rows])
        if (view.slices.stop[at] - view.slices.start[at]).sum() < least:
            continue
        if heard(analysis.hearing, view.rows[rows]).state is State.HEARD:
            other = listener(view, analysis, rows)
            yield _Guard(line, other, tuple(other.pull(effect) for effect in done))
