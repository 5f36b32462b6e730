"""Fits the parts' bars together: one row of bars for the whole score, and what does not fit."""

from collections.abc import Sequence
from fractions import Fraction

from redstave.model.score import Bar
from redstave.reading.problems import Problems
from redstave.reading.walk import BarRead, Walk


def shared_bars(walks: Sequence[Walk], ticks: int, problems: Problems) -> tuple[Bar, ...]:
    """Return the bars of the score; each is as long as the longest content of any part.

    A bar in which no part holds anything is as long as its metre, or four quarters without one.
    """
    bars: list[Bar] = []
    start = 0
    for index in range(max((len(walk.bars) for walk in walks), default=0)):
        rows = [walk.bars[index] for walk in walks if index < len(walk.bars)]
        length = max(row.content for row in rows) or _nominal(rows) or 4 * ticks
        number = next((row.number for row in rows if row.number), str(index + 1))
        bars.append(Bar(index, number, start, length))
        start += length
    _report_metre(walks, bars, ticks, problems)
    for walk in walks:
        _report_part(walk, bars, ticks, problems)
    return tuple(bars)


def _nominal(rows: Sequence[BarRead]) -> int | None:
    return next((row.nominal for row in rows if row.nominal is not None), None)


def quarters(length: int, ticks: int) -> str:
    """Return a length in words: "3 quarters", "1/2 quarter"."""
    amount = Fraction(length, ticks)
    return f"{amount} quarter{'s' if amount > 1 else ''}"


def _report_metre(
    walks: Sequence[Walk], bars: Sequence[Bar], ticks: int, problems: Problems
) -> None:
    """Report bars that do not fill their metre, or overfill it, in the longest part.

    Silent are the first bar (an upbeat), bars that the file itself calls irregular, and the two
    halves of a bar that a repeat or a double bar divides.
    """
    missing = [_missing(walks, bar) for bar in bars]
    for bar, lack in zip(bars, missing, strict=True):
        nominal = bar.length + lack
        neighbours = (missing[bar.index - 1], (*missing, 0)[bar.index + 1])
        completes = any(other > 0 and lack + other == nominal for other in neighbours)
        if lack == 0 or (lack > 0 and (bar.index == 0 or completes)):
            continue
        row = next(walk.bars[bar.index] for walk in walks if bar.index < len(walk.bars))
        problems.add(
            "short-bar" if lack > 0 else "overfull-bar",
            f"The bar holds {quarters(bar.length, ticks)} where its metre has "
            f"{quarters(nominal, ticks)}; it was taken as it stands.",
            row.line,
            bar.number,
        )


def _missing(walks: Sequence[Walk], bar: Bar) -> int:
    rows = [walk.bars[bar.index] for walk in walks if bar.index < len(walk.bars)]
    nominal = _nominal(rows)
    if nominal is None or any(row.implicit for row in rows):
        return 0
    return nominal - bar.length


def _report_part(walk: Walk, bars: Sequence[Bar], ticks: int, problems: Problems) -> None:
    empty = [bar for bar, row in zip(bars, walk.bars, strict=False) if not row.content]
    if empty:
        text = f"{len(empty)} bars hold neither notes nor rests; they were read as silence."
        line = walk.bars[empty[0].index].line
        problems.add("empty-bar", text, line, empty[0].number, walk.part)
    if len(walk.bars) < len(bars):
        text = f"The part has {len(walk.bars)} bars, the score {len(bars)}; the rest is silence."
        number = bars[len(walk.bars)].number
        problems.add("part-ends-early", text, 0, number, walk.part)
    for bar, row in zip(bars, walk.bars, strict=False):
        if row.content not in (0, bar.length):
            problems.add(
                "unequal-bar",
                f"The part holds {quarters(row.content, ticks)} in this bar where another part "
                f"holds {quarters(bar.length, ticks)}; it was read as silent for the rest.",
                row.line,
                bar.number,
                walk.part,
            )
        if row.number and row.number != bar.number:
            text = f"The bar is numbered {row.number} here and {bar.number} in another part."
            problems.add("bar-number-differs", text, row.line, bar.number, walk.part)
