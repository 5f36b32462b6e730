"""The single changes a search may combine, and what each costs.

The unit is the choir or the section over all the bars: one instruction many players can follow.
The cost is ours (no source) and says what an arranger would rather do: an instruction costs 4, each
level beyond the first 2, each line 0.1; more for one stave (2) or one line (3) out of its section,
for other players (1) and for other notes (3). So one section one level softer comes before a choir,
a choir before two instructions, one step before two, and a single player last.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from redstave.analysis import Analysis
from redstave.analysis.passages import Heard
from redstave.analysis.spectra import LEVEL_STEP, Voice
from redstave.model.change import Change, LeftOut, Octave, Players, Step
from redstave.model.line import Line
from redstave.trial.altering import stepped
from redstave.trial.window import Swap, Window

Ints = NDArray[np.int64]

SOFTEST, LOUDEST = 2.0, 7.0  # never below pp, never above ff
SMALLEST_SHARE = 0.05  # of what covers the line: lesser maskers are left in peace
MOST_SECTIONS = 6
CHOIRS = ("woodwind", "brass", "strings")
HALF, WHOLE = 0.5, 0.9  # shares of strands: doubled for the most part, doubled throughout

INSTRUCTION, FURTHER_STEP, EACH_LINE = 4.0, 2.0, 0.1
STAVE_OF_SECTION, LINE_OF_SECTION = 2.0, 3.0
OTHER_PLAYERS, OTHER_NOTES = 1.0, 3.0


class Kind(StrEnum):
    """The ways out: what sort of change brings a line out."""

    QUIETEN = "quieten"
    STRENGTHEN = "strengthen"
    THIN = "thin"
    REGISTER = "register"
    TOGETHER = "together"  # several of these


@dataclass(frozen=True)
class Move:
    """One change in some lines (indices), what it does to their voices, and what it costs.

    `relies_on` are lines that must stay as they are for the change to make sense.
    """

    kind: Kind
    change: Change
    lines: frozenset[int]
    cost: float
    swap: Swap
    relies_on: frozenset[int] = frozenset()

    @property
    def claims(self) -> frozenset[int]:
        """The lines that no other move of one set may touch."""
        return self.lines | self.relies_on


@dataclass(frozen=True)
class Scene:
    """Who plays what part in the bars: the line to be heard, its doublings, and the coverers.

    `share` says how much of what covers the line each other line is. All are indices of lines.
    """

    analysis: Analysis
    view: Window
    first: int
    last: int
    line: int
    tune: frozenset[int]
    share: dict[int, float]

    def change(self, lines: Iterable[int], what: "Step | Players | LeftOut | Octave") -> Change:
        """Return a change of some lines over all the bars."""
        everyone = self.analysis.playing.lines
        return Change(tuple(everyone[at].id for at in sorted(lines)), self.first, self.last, what)

    def voices(self, lines: Iterable[int]) -> list[Voice]:
        """Return the distinct voices of some lines in the bars, where they can still be changed."""
        rows = self.view.rows_of(lines)
        return [self.view.sound.palette.voices[at] for at in np.unique(self.view.sound.voice[rows])]


def scene(
    analysis: Analysis, view: Window, line: int, first: int, last: int, before: Heard
) -> Scene:
    """Find who doubles and who covers a line (index) in some bars."""
    doubling = _doubling(view, frozenset([line]))
    tune = frozenset([line]) | {other for other, share in doubling.items() if share >= HALF}
    told = set(view.lines) - tune
    share = {other: one for other, one in before.covered_by if other in told}
    return Scene(analysis, view, first, last, line, tune, share)


def _doubling(view: Window, lines: frozenset[int]) -> dict[int, float]:
    """Return for other lines in which share of the strands of these lines they take part."""
    mine = np.unique(view.strand[np.isin(view.line, list(lines))])
    pairs = np.unique(np.stack([view.line, view.strand], axis=1), axis=0)
    together = pairs[np.isin(pairs[:, 1], mine), 0]
    others, count = np.unique(together, return_counts=True)
    return {
        int(other): float(number / mine.size)
        for other, number in zip(others, count, strict=True)
        if other not in lines
    }


def moves(where: Scene) -> list[Move]:
    """Return every single change worth trying, the cheapest first."""
    found = [*_quieter(where), *_stronger(where), *_thinner(where), *_moved(where)]
    return sorted(found, key=lambda move: move.cost)


def _sections(where: Scene) -> list[frozenset[int]]:
    """Return the sections that cover the line, the chief coverers first."""
    members: dict[tuple[str, int], set[int]] = defaultdict(set)
    lines = where.analysis.playing.lines
    for at in where.view.lines:
        if at not in where.tune:
            members[_section(lines[at])].add(at)
    weight = {key: sum(where.share.get(at, 0.0) for at in ones) for key, ones in members.items()}
    chief = sorted(
        (key for key in members if weight[key] >= SMALLEST_SHARE), key=lambda k: -weight[k]
    )
    return [frozenset(members[key]) for key in chief[:MOST_SECTIONS]]


def _section(line: Line) -> tuple[str, int]:
    return line.instrument, line.numbers[0] if line.section and line.numbers else 0


def _groups(where: Scene) -> Iterator[tuple[frozenset[int], float]]:
    """Yield sections, choirs, staves and single lines, and what it costs to address each."""
    lines = where.analysis.playing.lines
    sections = _sections(where)
    for section in sections:
        yield section, INSTRUCTION
        yield from _parts_of(where, section)
    covering = frozenset[int]().union(*sections)
    sounding = frozenset(where.view.lines) - where.tune
    for family in CHOIRS:
        choir = frozenset(at for at in sounding if lines[at].family == family)
        if len(choir & covering) > 1 and choir not in sections:
            yield choir, INSTRUCTION


def _parts_of(where: Scene, section: frozenset[int]) -> Iterator[tuple[frozenset[int], float]]:
    """Yield the staves and lines of a section that cover, where it has several."""
    lines = where.analysis.playing.lines
    staves: dict[str, set[int]] = defaultdict(set)
    for at in section:
        staves[lines[at].part].add(at)
    covering = [at for at in sorted(section) if where.share.get(at, 0.0) >= SMALLEST_SHARE]
    for stave in staves.values():
        if 1 < len(stave) < len(section) and stave & set(covering):
            yield frozenset(stave), INSTRUCTION + STAVE_OF_SECTION
    if len(section) > 1:
        yield from ((frozenset([at]), INSTRUCTION + LINE_OF_SECTION) for at in covering)


def _quieter(where: Scene) -> Iterator[Move]:
    for group, cost in _groups(where):
        loudest = max(voice.level for voice in where.voices(group))
        for steps in (1, 2, 3):
            if loudest - (steps - 1) > SOFTEST:
                yield _step(where, Kind.QUIETEN, group, -steps, cost)


def _stronger(where: Scene) -> Iterator[Move]:
    levels = [voice.level for voice in where.voices(where.tune)]
    for steps in (1, 2):
        if min(levels, default=LOUDEST) + (steps - 1) < LOUDEST:
            yield _step(where, Kind.STRENGTHEN, where.tune, steps, INSTRUCTION)


def _step(where: Scene, kind: Kind, lines: frozenset[int], steps: int, cost: float) -> Move:
    step = Step(float(steps), SOFTEST, LOUDEST)
    cost += FURTHER_STEP * (abs(steps) - 1) + EACH_LINE * len(lines)

    def swap(voice: Voice) -> Voice:
        level = round(stepped(voice.level, step) / LEVEL_STEP) * LEVEL_STEP
        return voice._replace(level=level)

    return Move(kind, where.change(lines, step), lines, cost, swap)


def _thinner(where: Scene) -> Iterator[Move]:
    """Yield a coverer left out that only doubles another, and sections of half their players."""
    lines = where.analysis.playing.lines
    cost = INSTRUCTION + OTHER_PLAYERS
    for section in _sections(where):
        players = {_whole(lines, at).players for at in section}
        if min(voice.players for voice in where.voices(section)) >= 2.0 and len(players) == 1:
            half = Players(players.pop() / 2.0)
            yield Move(
                Kind.THIN,
                where.change(section, half),
                section,
                cost + EACH_LINE * len(section),
                lambda voice: voice._replace(players=max(1.0, voice.players / 2.0)),
            )
    for at, share in where.share.items():
        partner = _partner(where, at)
        if share >= SMALLEST_SHARE and partner is not None:
            yield Move(
                Kind.THIN,
                where.change([at], LeftOut()),
                frozenset([at]),
                cost + EACH_LINE,
                lambda _: None,
                frozenset([partner]),
            )


def _whole(lines: Sequence[Line], at: int) -> Line:
    """Return the line that has all the players of a divided section."""
    line = lines[at]
    home = [one for one in lines if line.section and one.id == line.of]
    return home[0] if home else line


def _partner(where: Scene, line: int) -> int | None:
    """Return the line that plays all that another one does, if there is one; it may be louder."""
    partners = _doubling(where.view, frozenset([line]))
    whole = {at: share for at, share in partners.items() if at not in where.tune and share >= WHOLE}
    return max(whole, key=lambda at: whole[at], default=None)


def _moved(where: Scene) -> Iterator[Move]:
    """Yield the line an octave higher or lower where its instrument plays well."""
    instrument = where.analysis.book[where.analysis.playing.lines[where.line].instrument]
    one = frozenset([where.line])
    pitches = [voice.midi for voice in where.voices(one)]
    if instrument.practical is None or not instrument.pitched or not pitches:
        return
    for octaves in (1, -1):
        if all(instrument.practical.holds(midi + 12.0 * octaves) for midi in pitches):
            yield Move(
                Kind.REGISTER,
                where.change(one, Octave(octaves)),
                one,
                INSTRUCTION + OTHER_NOTES + EACH_LINE,
                _by_octaves(octaves),
            )


def _by_octaves(octaves: int) -> Swap:
    return lambda voice: voice._replace(midi=voice.midi + 12.0 * octaves)
