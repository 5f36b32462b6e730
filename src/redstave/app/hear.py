"""What the hall hears of an entry, by line and bar."""

import re

from redstave.analysis import Analysis
from redstave.analysis.barwise import LineInBar, by_line_and_bar
from redstave.base.errors import InputError
from redstave.model.score import Score

Json = dict[str, object]


def hear(analysis: Analysis, bars: str = "") -> Json:
    """Return one record for each line in each bar in which it sounds; see docs/json.md."""
    first, last = bar_range(analysis, bars)
    hearing = analysis.hearing
    records = [
        _record(analysis, record)
        for record in by_line_and_bar(hearing)
        if first <= record.bar <= last
    ]
    inside = (hearing.slices.bar >= first) & (hearing.slices.bar <= last)
    seconds = float(hearing.slices.seconds[inside].sum())
    return {
        "hall": analysis.hall.name,
        "lines": records,
        "slices": int(inside.sum()),
        "seconds": round(seconds, 3),
    }


def bar_range(analysis: Analysis, text: str) -> tuple[int, int]:
    """Return the first and last bar index of a range of printed numbers such as "5-12" or "7"."""
    return bar_range_of(analysis.score, text)


def bar_range_of(score: Score, text: str) -> tuple[int, int]:
    """Return the first and last bar index of a range of printed numbers, all bars for none."""
    bars = score.bars
    if not text:
        return 0, len(bars) - 1
    found = re.fullmatch(r"\s*([^-\s]+)(?:\s*-\s*([^-\s]+))?\s*", text)
    if not found:
        raise InputError(f'"{text}" is not a range of bars; write two bar numbers, such as 5-12')
    index = {bar.number: bar.index for bar in reversed(bars)}
    first, last = found[1], found[2] or found[1]
    for number in (first, last):
        if number not in index:
            raise InputError(
                f"there is no bar {number} in this score; "
                f"its bars go from {bars[0].number} to {bars[-1].number}"
            )
    if index[first] > index[last]:
        raise InputError(f"bar {first} comes after bar {last}; write the earlier bar first")
    return index[first], index[last]


def printed(number: str) -> int | str:
    """Return a bar number as a number where it is one, else as the text that is printed."""
    return int(number) if number.isdecimal() else number


def _record(analysis: Analysis, record: LineInBar) -> Json:
    lines = analysis.playing.lines
    return {
        "line": lines[record.line].name,
        "part": lines[record.line].part,
        "bar": printed(analysis.score.bars[record.bar].number),
        "margin_db": round(record.margin_db, 1),
        "sd_db": round(record.sd_db, 1),
        "state": str(record.state),
        "sounding_share": round(record.sounding_share, 3),
        "loudness_sone": round(record.loudness_sone, 3),
        "partial_sone": round(record.partial_sone, 4),
        "covered_by": [
            {"line": lines[other].name, "share": round(share, 3)}
            for other, share in record.covered_by
        ],
    }
