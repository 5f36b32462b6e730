"""Fits the parts' bars together: one row of bars for the whole score, and what does not fit."""

from collections.abc import Sequence
from fractions import Fraction
from itertools import zip_longest
from typing import NamedTuple

from redstave.model.score import Bar
from redstave.reading.problems import Problems
from redstave.reading.walk import ABSENT, BarRead, Walk

Kind = tuple[str, int, int, int | None, bool]  # the fields of a `BarRead` before its line


class Column(NamedTuple):
    """One bar in all parts; `rows` are ABSENT in those that do not have it. Lengths in ticks.

    `kinds` are what rows hold, each once: few, in however many parts. `metre` is a full bar,
    `expected` what a part should hold: a full bar if one part does, else what the longest holds.
    """

    bar: Bar
    rows: tuple[BarRead, ...]
    kinds: tuple[Kind, ...]
    metre: int
    expected: int

    @property
    def lack(self) -> int:
        """What the longest part lacks of a full bar; negative if it holds too much."""
        return self.metre - self.bar.length

    @property
    def is_irregular(self) -> bool:
        """Whether the file itself says that the bar does not fill its metre."""
        return any(implicit for _, _, _, _, implicit in self.kinds)


def shared_bars(walks: Sequence[Walk], ticks: int, problems: Problems) -> tuple[Bar, ...]:
    """Return the bars of the score; each is as long as the longest content of any part.

    Rests alone do not make a bar longer than its metre. A bar in which no part holds anything is
    as long as its metre, or four quarters without one.
    """
    columns: list[Column] = []
    start = 0
    for rows in zip_longest(*[walk.bars for walk in walks], fillvalue=ABSENT):
        column = _column(len(columns), rows, start, ticks)
        columns.append(column)
        start += column.bar.length
    _report_metre(columns, ticks, problems)
    for column in columns:
        _report_parts(column, walks, ticks, problems)
    for walk in walks:
        _report_silence(walk, columns, problems)
    return tuple(column.bar for column in columns)


def _column(index: int, rows: tuple[BarRead, ...], start: int, ticks: int) -> Column:
    kinds = tuple(dict.fromkeys([row[:5] for row in rows if row is not ABSENT]))
    nominal = next((kind[3] for kind in kinds if kind[3] is not None), None)
    length = max(
        (_length(sounding, content, nominal) for _, content, sounding, _, _ in kinds), default=0
    )
    length = length or nominal or 4 * ticks
    number = next((kind[0] for kind in kinds if kind[0]), str(index + 1))
    is_full = any(kind[1] == nominal for kind in kinds)
    expected = nominal if nominal is not None and is_full else length
    return Column(Bar(index, number, start, length), rows, kinds, nominal or length, expected)


def _length(sounding: int, content: int, nominal: int | None) -> int:
    return content if nominal is None else max(sounding, min(content, nominal))


def quarters(length: int, ticks: int) -> str:
    """Return a length in words: "3 quarters", "1 1/2 quarters", "1/2 quarter"."""
    whole, rest = divmod(Fraction(length, ticks), 1)
    amount = " ".join(str(piece) for piece in (whole, rest) if piece) or "0"
    return f"{amount} quarter{'s' if length > ticks else ''}"


def _report_metre(columns: Sequence[Column], ticks: int, problems: Problems) -> None:
    """Report bars in which no part fills the metre.

    Silent are the first bar (an upbeat), the last one if it completes the first, bars that the
    file itself calls irregular, and the two halves of a bar that a repeat or a double bar divides.
    """
    for index, column in enumerate(columns):
        if column.expected == column.metre or column.is_irregular:
            continue
        neighbours = columns[index - 1], columns[(index + 1) % len(columns)]  # cyclic
        halved = any(
            other.lack > 0 and column.lack + other.lack == column.metre for other in neighbours
        )
        if column.lack > 0 and (index == 0 or halved):
            continue
        problems.add(
            "short-bar" if column.lack > 0 else "overfull-bar",
            f"The bar holds {quarters(column.bar.length, ticks)} where its metre has "
            f"{quarters(column.metre, ticks)}; it was taken as it stands.",
            next(row.line for row in column.rows if row is not ABSENT),
            column.bar.number,
        )


def _report_parts(column: Column, walks: Sequence[Walk], ticks: int, problems: Problems) -> None:
    contents, numbers = (0, column.expected), ("", column.bar.number)
    if all(kind[1] in contents and kind[0] in numbers for kind in column.kinds):
        return
    for walk, row in zip(walks, column.rows, strict=True):
        if row is ABSENT:
            continue
        part = walk.part
        if row.content > column.expected:
            held = quarters(row.content, ticks)
            cut = row.content > column.bar.length
            repair = "its rests were cut" if cut else "all parts were read as that long"
            text = f"The part holds {held} in this bar where its metre has " + (
                f"{quarters(column.metre, ticks)}; {repair}."
            )
            problems.add("overfull-bar", text, row.line, column.bar.number, part)
        elif 0 < row.content < column.expected:
            held = quarters(row.content, ticks)
            text = (
                f"The part holds {held} in this bar where others hold "
                f"{quarters(column.expected, ticks)}; it was read as silent for the rest."
            )
            problems.add("unequal-bar", text, row.line, column.bar.number, part)
        if row.number and row.number != column.bar.number:
            text = f"The bar is numbered {row.number} here and {column.bar.number} in another part."
            problems.add("bar-number-differs", text, row.line, column.bar.number, part)


def _report_silence(walk: Walk, columns: Sequence[Column], problems: Problems) -> None:
    empty = [index for index, row in enumerate(walk.bars) if not row.content]
    if empty:
        many = f"{len(empty)} bars hold" if len(empty) > 1 else "A bar holds"
        text = f"{many} neither notes nor rests; this was read as silence."
        bar = walk.bars[empty[0]]
        problems.add("empty-bar", text, bar.line, bar.number, walk.part)
    if 0 < len(walk.bars) < len(columns):
        text = f"The part has {len(walk.bars)} bars, the score {len(columns)}; the rest is silence."
        number = columns[len(walk.bars)].bar.number
        problems.add("part-ends-early", text, 0, number, walk.part)
