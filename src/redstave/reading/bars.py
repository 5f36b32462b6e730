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
    """Return a length in words: "3 quarters", "1 1/2 quarters", "1/2 quarter"."""
    whole, rest = divmod(Fraction(length, ticks), 1)
    amount = " ".join(str(piece) for piece in (whole, rest) if piece) or "0"
    return f"{amount} quarter{'s' if length > ticks else ''}"


def _report_metre(
    walks: Sequence[Walk], bars: Sequence[Bar], ticks: int, problems: Problems
) -> None:
    """Report bars that do not fill their metre, or overfill it, in the longest part.

    Silent are the first bar (an upbeat), the last one if it completes the first, bars that the
    file itself calls irregular, and the two halves of a bar that a repeat or a double bar divides.
    """
    rows = [[walk.bars[bar.index] for walk in walks if bar.index < len(walk.bars)] for bar in bars]
    nominal = [_nominal(of_bar) or bar.length for of_bar, bar in zip(rows, bars, strict=True)]
    lacks = [metre - bar.length for metre, bar in zip(nominal, bars, strict=True)]
    for bar, of_bar, metre, lack in zip(bars, rows, nominal, lacks, strict=True):
        neighbours = (lacks[bar.index - 1], lacks[(bar.index + 1) % len(bars)])  # cyclic
        halved = any(other > 0 and lack + other == metre for other in neighbours)
        excused = lack > 0 and (bar.index == 0 or halved)
        if lack == 0 or excused or any(row.implicit for row in of_bar):
            continue
        problems.add(
            "short-bar" if lack > 0 else "overfull-bar",
            f"The bar holds {quarters(bar.length, ticks)} where its metre has "
            f"{quarters(metre, ticks)}; it was taken as it stands.",
            of_bar[0].line,
            bar.number,
        )


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
