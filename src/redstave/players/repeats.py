"""The order in which the bars are played when repeats are taken; everywhere else they are not.

A passage between repeat signs is played twice, or as often as the file or its endings say. After a
D.C. or D.S. repeats are not taken again, unless it says "con rep.", and the last ending is played
(common practice, no source).
"""

from collections import defaultdict
from collections.abc import Sequence
from itertools import groupby
from typing import NamedTuple

from redstave.model.line import OpenQuestion, TempoMap
from redstave.model.score import Score
from redstave.players.repeat_signs import Ending, Jump, Signs, signs_of

_ORDINALS = {1: "1st", 2: "2nd", 3: "3rd"}


class Passing(NamedTuple):
    """One playing of a bar (index): the first, second … `time`."""

    bar: int
    time: int


class Unfolding(NamedTuple):
    """The bars in the order in which they are played, and what was open about it."""

    passings: tuple[Passing, ...]
    questions: tuple[OpenQuestion, ...]


def unfold(score: Score) -> Unfolding:
    """Return the bars of a score in the order of playing, all repeats taken."""
    walk = _Walk(signs_of(score), len(score.bars))
    walk.go()
    return Unfolding(tuple(walk.played), tuple(dict.fromkeys(walk.questions)))


def passing_name(score: Score, passing: Passing) -> str:
    """Return a bar's printed number, with its time from the second on: "12 (2nd time)"."""
    bar = score.bars[passing.bar]
    name = bar.number or str(bar.index + 1)
    if passing.time == 1:
        return name
    return f"{name} ({_ORDINALS.get(passing.time, f'{passing.time}th')} time)"


def stretches(passings: Sequence[Passing]) -> tuple[tuple[int, int], ...]:
    """Return the runs of bars that follow each other on the page: (first, last) indices."""
    runs = groupby(enumerate(passings), key=lambda pair: pair[1].bar - pair[0])
    bars = [[passing.bar for _, passing in run] for _, run in runs]
    return tuple((run[0], run[-1]) for run in bars)


def playing_seconds(score: Score, tempo: TempoMap, passings: Sequence[Passing]) -> float:
    """Return how many seconds the bars take in the order given."""
    return sum(
        tempo.seconds(bar.start + bar.length) - tempo.seconds(bar.start)
        for bar in (score.bars[passing.bar] for passing in passings)
    )


class _Walk:
    """Goes through the bars as players do."""

    def __init__(self, signs: Signs, bars: int) -> None:
        self.played: list[Passing] = []
        self.questions: list[OpenQuestion] = []
        self._signs = signs
        self._bars = bars
        self._times: dict[int, int] = defaultdict(int)
        self._start = 0  # where the passage under repetition begins
        self._pass = 1
        self._leapt: Jump | None = None  # the D.C. or D.S. under way
        self._done: set[int] = set()

    def go(self) -> None:
        """Play from the first bar to the end."""
        here = 0
        while here < self._bars:
            here = self._enter(here)

    def _enter(self, here: int) -> int:
        """Play a bar, or leave it out, and return the next."""
        ending = next((one for one in self._signs.endings if one.first == here), None)
        if ending is not None and self._left_out(ending):
            return ending.last + 1
        if here in self._signs.forward and here != self._start:
            self._begin(here)
        self._times[here] += 1
        self.played.append(Passing(here, self._times[here]))
        return self._after(here)

    def _begin(self, here: int) -> None:
        self._start, self._pass = here, 1

    def _left_out(self, ending: Ending) -> bool:
        group = self._group(ending.first)
        once = self._leapt is not None and not self._leapt.repeats
        wanted = _passes(group) if once else self._pass
        alone = len(group) == 1
        left_out = wanted not in ending.numbers
        if left_out and alone:
            self._begin(ending.last + 1)
        return left_out and (alone or any(wanted in one.numbers for one in group))

    def _group(self, bar: int) -> list[Ending]:
        """Return the endings that stand side by side around a bar."""
        group: list[Ending] = []
        for one in self._signs.endings:
            if group and group[-1].last + 1 != one.first:
                if group[-1].last >= bar:
                    break
                group = []
            group.append(one)
        return group

    def _after(self, here: int) -> int:
        if self._leapt is not None and not self._repeats_again(here):
            return self._after_leap(here)
        inside = next((one for one in self._signs.endings if one.first <= here <= one.last), None)
        if here in self._signs.backward:
            group = self._group(here) if inside else []
            times = _passes(group) if group else self._signs.backward[here]
            if self._pass < times:
                self._pass += 1
                return self._start
            self._begin(here + 1)
        elif inside is not None and self._leaves(inside, here):
            self._begin(here + 1)
        return self._jump(here)

    def _repeats_again(self, here: int) -> bool:
        """Whether, after a leap "con rep.", a passage is to be played once more from here."""
        wanted = self._leapt is not None and self._leapt.repeats
        return wanted and self._pass < self._signs.backward.get(here, 0)

    def _leaves(self, ending: Ending, here: int) -> bool:
        """Whether a passage ends here behind its last ending; one begun inside goes on."""
        last = here == ending.last and self._group(here)[-1] == ending
        return last and self._start < ending.first

    def _after_leap(self, here: int) -> int:
        """Go on behind a D.C. or D.S.: stop at Fine, leap to the coda."""
        assert self._leapt is not None
        until = self._leapt.until
        if here in self._signs.fine and until != "coda":
            return self._bars
        if here in self._signs.to_sign and until == "sign" and not self._signs.codas:
            return self._bars
        to_coda = self._signs.to_sign if until == "sign" else self._signs.to_coda
        if here in to_coda and until != "fine" and self._signs.codas:
            self._leapt = None
            coda = next((bar for bar in self._signs.codas if bar > here), self._signs.codas[-1])
            self._begin(coda)
            return coda
        if here == self._leapt.bar:
            self._leapt = None
            self._begin(here + 1)
        return self._jump(here)

    def _jump(self, here: int) -> int:
        jump = next((one for one in self._signs.jumps if one.bar == here), None)
        if jump is None or here in self._done:
            return here + 1
        self._done.add(here)
        target = self._target(jump)
        if target is None:
            return here + 1
        self._leapt = jump
        self._begin(target)
        return target

    def _target(self, jump: Jump) -> int | None:
        ends = self._signs.fine or (self._signs.to_coda and self._signs.codas)
        if jump.back_to == "elsewhere" and not ends:
            self._ask("leap-elsewhere", f"“{jump.text}” leads outside this file: left out.", jump)
            return None
        target = self._segno(jump) if jump.back_to == "segno" else 0
        if target is None:
            self._ask("no-segno", f"“{jump.text}”, but no sign stands before it: left out.", jump)
        elif jump.until == "fine" and not self._signs.fine:
            self._ask("no-fine", f"“{jump.text}”, but no Fine is marked.", jump)
        elif jump.until == "coda" and not self._signs.codas:
            self._ask("no-coda", f"“{jump.text}”, but no coda is marked.", jump)
        return target

    def _segno(self, jump: Jump) -> int | None:
        """Return the bar of the sign a leap names, else of the last sign before it."""
        named = [bar for bar, sign in self._signs.segni if jump.sign and sign == jump.sign]
        before = named or [bar for bar, _ in self._signs.segni if bar <= jump.bar]
        return before[-1] if before else None

    def _ask(self, code: str, text: str, jump: Jump) -> None:
        self.questions.append(OpenQuestion(code, text, jump.bar))


def _passes(group: Sequence[Ending]) -> int:
    """Return how often a passage with endings is played; behind a lone first one it goes on."""
    return max(max(one.numbers) for one in group) + (len(group) == 1)
