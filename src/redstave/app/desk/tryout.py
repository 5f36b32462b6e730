"""A trial at the desk: what is heard bar by bar before and after, and ways out made into wishes."""

import json
from collections.abc import Iterator, Sequence
from dataclasses import asdict, dataclass
from typing import NamedTuple

from redstave.analysis import Analysis
from redstave.analysis.barwise import Margin, lines_in_bars
from redstave.app.desk.opened import Opened
from redstave.app.hear import bar_range
from redstave.app.requests import ORDINARY, Request, changes_of
from redstave.base.errors import InputError
from redstave.model.change import (
    Change,
    LeftOut,
    Level,
    Octave,
    Players,
    Step,
    TakenOver,
    Technique,
)
from redstave.model.line import level_name
from redstave.render.changes import changes_text, way_text
from redstave.render.level_plan import FAMILIES
from redstave.render.tried_ribbon import tried_ribbon
from redstave.render.view import Audibility
from redstave.trial import Trial, attempt, select_lines, ways_out
from redstave.trial.compare import RANK, rows_of

MOST_BARS = 64  # heard before and after at once
SILENT, UNKNOWN = "silent", "not judged"

Cells = tuple[Audibility, ...]


@dataclass(frozen=True, slots=True)
class Side:
    """What is heard of a line in the bars: cell by cell, and altogether."""

    cells: Cells
    state: str
    margin_db: float | None
    sd_db: float | None

    @property
    def picture(self) -> str:
        """The cells as a ribbon (SVG)."""
        return tried_ribbon(self.cells)


class Row(NamedTuple):
    """One line before and after. `change` is 1 where it is surer to be heard, -1 less sure, else 0.

    `told` tells whether its players are told something else.
    """

    name: str
    group: str
    before: Side
    after: Side
    change: int
    told: bool


@dataclass(frozen=True, slots=True)
class Tried:
    """A trial as the page shows it: bars (printed), the changes in words, a row for each line."""

    bars: tuple[str, ...]
    words: tuple[str, ...]
    rows: tuple[Row, ...]


def heard_now(opened: Opened, bars: str) -> Tried:
    """Return what is heard in some bars (printed, such as "14-16") as the page stands."""
    first, last = _bars(opened.analysis, bars)
    return _tried(opened, opened.analysis, first, last, (), frozenset())


def try_out(opened: Opened, requests: Sequence[Request], bars: str) -> Tried:
    """Return what is heard in some bars before and after; InputError where a wish means nothing."""
    analysis = opened.analysis
    first, last = _bars(analysis, bars)
    trial = attempt(analysis, [one for wish in requests for one in changes_of(wish, analysis)])
    words = tuple(changes_text(trial, [one]) for one in trial.changes)
    told = frozenset(line for one in trial.changes for line in one.lines)
    return _tried(opened, trial.after, first, last, words, told)


def _bars(analysis: Analysis, bars: str) -> tuple[int, int]:
    first, last = bar_range(analysis, bars)
    if last - first >= MOST_BARS:
        raise InputError(f"choose at most {MOST_BARS} bars to hear before and after")
    return first, last


def _tried(
    opened: Opened,
    after: Analysis,
    first: int,
    last: int,
    words: tuple[str, ...],
    told: frozenset[str],
) -> Tried:
    names = tuple(opened.bar_name(bar) for bar in range(first, last + 1))
    before = _Heard.of(opened.analysis, first, last)
    now = before if after is opened.analysis else _Heard.of(after, first, last)
    rows = []
    for at, line in enumerate(after.playing.lines):
        sides = before.side(at), now.side(at)
        if any(side.state != SILENT for side in sides):
            group = FAMILIES.get(line.family, line.family)
            rows.append(Row(line.name, group, *sides, _change(*sides), line.id in told))
    return Tried(names, words, tuple(rows))


class _Heard(NamedTuple):
    """What is heard in some bars: of each line, of each line in each bar, and who has a note."""

    bars: range
    lines: dict[int, Margin]
    cells: dict[tuple[int, int], Margin]
    notes: frozenset[tuple[int, int]]

    @classmethod
    def of(cls, analysis: Analysis, first: int, last: int) -> "_Heard":
        notes = {
            (tone.line, tone.bar) for tone in analysis.playing.tones if first <= tone.bar <= last
        }
        lines, cells = lines_in_bars(analysis.hearing, first, last)
        return cls(range(first, last + 1), lines, cells, frozenset(notes))

    def side(self, line: int) -> Side:
        cells = tuple(self._cell(line, bar) for bar in self.bars)
        found = self.lines.get(line)
        if found is None:
            return Side(cells, UNKNOWN if Audibility.UNKNOWN in cells else SILENT, None, None)
        margin, sd = round(found.margin_db, 1), round(found.sd_db, 1)
        return Side(cells, str(found.state), margin, sd)

    def _cell(self, line: int, bar: int) -> Audibility:
        if (line, bar) in self.cells:
            return Audibility(str(self.cells[line, bar].state))
        return Audibility.UNKNOWN if (line, bar) in self.notes else Audibility.SILENT


def _change(before: Side, after: Side) -> int:
    ranks = {str(state): rank for state, rank in RANK.items()}
    if before.state not in ranks or after.state not in ranks:
        return 0
    difference = ranks[after.state] - ranks[before.state]
    return (difference > 0) - (difference < 0)


class Way(NamedTuple):
    """A way out: in words, and the wishes that make it (JSON of Requests)."""

    words: str
    wishes: str


def ways_for(opened: Opened, who: str, bars: str) -> tuple[Way, ...]:
    """Return the smallest changes that bring one line to be heard, heard again in full.

    InputError where the words mean no line, or several that sound there.
    """
    analysis = opened.analysis
    first, last = _bars(analysis, bars)
    line = _one_line(analysis, who, first, last)
    return tuple(
        Way(way_text(way), wishes_text([request_of(one, analysis) for one in way.changes]))
        for way in ways_out(analysis, line, first, last)
    )


def _one_line(analysis: Analysis, who: str, first: int, last: int) -> int:
    ids = select_lines(analysis.playing, who)
    lines = analysis.playing.lines
    found = [
        at
        for at, line in enumerate(lines)
        if line.id in ids and rows_of(analysis.hearing, at, first, last).size
    ]
    if not found:
        raise InputError(f"{who} does not sound in these bars, or the instrument is not known")
    if len(found) > 1:
        names = ", ".join(lines[at].name for at in found)
        raise InputError(f"name one line that is to be heard: {names}")
    return found[0]


def request_of(change: Change, analysis: Analysis) -> Request:
    """Return the wish that asks for a change, as near as a wish can say it."""
    lines, bars = analysis.playing.lines, analysis.score.bars
    who = ", ".join(line.name for line in lines if line.id in change.lines)
    first, last = bars[change.first].number, bars[change.last].number
    place = Request(who, first if first == last else f"{first}-{last}")
    return _with_deed(place, change)


def _with_deed(place: Request, change: Change) -> Request:
    deed: dict[str, object]
    match change.what:
        case Level(level):
            deed = {"level": level_name(level)}
        case Step(steps):
            deed = {"level": f"{round(steps):+d}"}
        case Players(players):
            deed = {"players": max(1, round(players))}
        case LeftOut():
            deed = {"without": True}
        case Octave(octaves):
            deed = {"octave": octaves}
        case Technique(technique):
            deed = {"technique": technique or ORDINARY}
        case TakenOver(_, name, _, players, _, octaves):
            deed = {"as_": name, "players": players, "octave": octaves}
    return Request(**(asdict(place) | deed))


def wishes_text(requests: Sequence[Request]) -> str:
    """Return wishes as JSON for the page: only what is asked."""
    return json.dumps([dict(_asked(one)) for one in requests], ensure_ascii=False)


def changes_file(requests: Sequence[Request]) -> str:
    """Return wishes as the text of a file of changes (TOML), as `redstave try` reads it."""
    tables = []
    for one in requests:
        lines = [f"{name} = {json.dumps(value, ensure_ascii=False)}" for name, value in _asked(one)]
        tables.append("\n".join(["[[change]]", *lines]))
    return "\n\n".join(tables) + "\n" if tables else ""


def _asked(request: Request) -> Iterator[tuple[str, object]]:
    for name, value in asdict(request).items():
        if value not in ("", None, 0, False):
            yield name.rstrip("_"), value


def lines_changed(trial: Trial) -> tuple[str, ...]:
    """Return the parts (ids) whose players are told something else, in the order of the page."""
    ids = {line for one in trial.changes for line in one.lines}
    parts = {line.part for line in trial.after.playing.lines if line.id in ids}
    return tuple(part.id for part in trial.before.score.parts if part.id in parts)
