"""Hearing ribbons: the whole piece at a glance, one row per line, time from left to right.

Three shapes carry the meaning, colour only repeats it: *heard* is a full-height band of ink,
*doubtful* half the height and hatched, *covered* a thin outline lying under the row. A long piece
is broken into panels as a page is broken into systems.
"""

from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import NamedTuple

from redstave.render.ink import fmt, line, path, shortened, svg, text
from redstave.render.view import Audibility, HearingRow, WholePiece

WIDTH = 1160.0  # px at full size: a 13-inch screen and a landscape page
LONGEST_NAME = 28  # characters before a name is cut
MOST_BARS = 240  # in one panel
_HEAD = 46.0  # rehearsal letters and bar numbers
_HEADING = 0.5  # of a row, before each group
_LEGEND = 40.0
_HEIGHTS = {Audibility.HEARD: 0.66, Audibility.DOUBTFUL: 0.36}  # of a row
_HATCH = 4  # px between two strokes

STATE_WORDS = {
    Audibility.HEARD: "heard",
    Audibility.DOUBTFUL: "doubtful",
    Audibility.COVERED: "covered",
    Audibility.UNKNOWN: "not judged",
}


#: For groups of few rows; a group too small even for this goes without a name.
_SHORT = {
    "Woodwind": "Wind",
    "Percussion": "Perc.",
    "Keyboards": "Keys",
    "Strings": "Str.",
    "Voices": "Voc.",
}


class Frame(NamedTuple):
    """Where a panel's bars lie: first bar index, how many bars, left edge, width of one bar."""

    first: int
    bars: int
    left: float
    bar: float

    def x(self, bar: float) -> float:
        """Return the x of a bar line, by bar index."""
        return self.left + (bar - self.first) * self.bar


def ribbons(whole: WholePiece) -> str:
    """Draw the hearing ribbons of a piece: one SVG a panel, the legend under the last."""
    panels = list(frames(len(whole.bars), label_width(whole)))
    return "".join(ribbon_panel(whole, frame, frame is panels[-1]) for frame in panels)


def label_width(whole: WholePiece) -> float:
    """Return the room that the names of the rows need, in px."""
    return 74.0 + 5.6 * max((min(len(row.name), LONGEST_NAME) for row in whole.hearing), default=0)


def ribbon_panel(whole: WholePiece, frame: Frame, explained: bool = True) -> str:
    """Draw the ribbons of one panel as an SVG, with the legend where it is to be `explained`."""
    drawn, height = _panel(whole, frame, row_pitch(len(whole.hearing)))
    if explained:
        drawn += _legend(height)
        height += _LEGEND
    return svg(WIDTH, height, "ribbons", _label(whole, frame), drawn)


def row_pitch(rows: int) -> float:
    """Return the distance of two rows in px: generous for few, never under 12."""
    return max(12.0, min(26.0, 560.0 / max(1, rows)))


def frames(bars: int, left: float) -> Iterator[Frame]:
    """Share the bars out evenly over as few panels as hold them."""
    panels = max(1, -(-bars // MOST_BARS))
    size = -(-bars // panels)
    for first in range(0, bars, size):
        yield Frame(first, min(size, bars - first), left, (WIDTH - left - 4) / size)


def bar_axis(whole: WholePiece, frame: Frame, top: float, bottom: float) -> Iterator[str]:
    """Draw bar numbers, rehearsal letters and the guide lines under them."""
    step = next(s for s in (1, 2, 5, 10, 20, 50, 100, 1000) if s * frame.bar >= 26)
    taken = -100.0
    for bar in range(frame.first, frame.first + frame.bars):
        number = whole.bars[bar]
        if bar == frame.first or (number.isdigit() and int(number) % step == 0):
            if bar != frame.first and frame.x(bar) - taken < 20:
                continue
            taken = frame.x(bar)
            yield text(taken, top - 5, number, "tick")
            yield line("guide", taken, top - 3, taken, bottom)
    for bar, letter in whole.letters:
        if frame.first <= bar < frame.first + frame.bars:
            yield from _letter(frame.x(bar), top, bottom, letter)


def _letter(x: float, top: float, bottom: float, letter: str) -> Iterator[str]:
    words = shortened(letter, 12)
    width = 8.0 + 6.6 * len(words)
    yield line("guide strong", x, top - 18, x, bottom)
    left = min(x, WIDTH - width - 1)
    yield path("box", f"M{fmt(left)} {fmt(top - 36)}h{fmt(width)}v15h{fmt(-width)}z")
    yield text(left + width / 2, top - 24.5, words, "letter", "middle")


def _panel(whole: WholePiece, frame: Frame, pitch: float) -> tuple[list[str], float]:
    bottom = _HEAD
    rows: list[str] = []
    for group, members in groupby(whole.hearing, key=lambda row: row.group):
        several = list(members)
        bottom += pitch * _HEADING
        rows += _bracket(group, frame, bottom, bottom + pitch * len(several))
        for row in several:
            rows += _row(row, frame, bottom, pitch)
            bottom += pitch
    return [*bar_axis(whole, frame, _HEAD, bottom), *rows], bottom + 10


def _bracket(group: str, frame: Frame, top: float, bottom: float) -> Iterator[str]:
    """Draw a bracket before the names as before staves, the group's name upright beside it."""
    yield path("bracket", f"M14 {fmt(top + 1)}h-3V{fmt(bottom - 1)}h3")
    room = (bottom - top) / 5.0
    words = group if len(group) <= room else _SHORT.get(group, "")
    if words and len(words) <= room:
        middle = (top + bottom) / 2
        turned = f'<g transform="translate(7 {fmt(middle)}) rotate(-90)">'
        yield f"{turned}{text(0, 0, words, 'group', 'middle')}</g>"
    yield line("row", frame.left, bottom, WIDTH - 4, bottom)


def _row(row: HearingRow, frame: Frame, top: float, pitch: float) -> Iterator[str]:
    base = top + pitch * 0.78
    size = "name small" if pitch < 15 else "name"
    yield text(frame.left - 8, base - pitch * 0.06, shortened(row.name, LONGEST_NAME), size, "end")
    yield line("row", frame.left, base, frame.x(frame.first + frame.bars), base)
    row_cells = row.cells[frame.first : frame.first + frame.bars]
    for state in STATE_WORDS:
        bars = [frame.first + n for n, cell in enumerate(row_cells) if cell is state]
        if bars:
            yield path(f"cell {state}", cells(state, bars, frame, base, pitch))
            if state is Audibility.DOUBTFUL:
                yield path("hatch", hatching(bars, frame, base, pitch))


def cells(state: Audibility, bars: Sequence[int], frame: Frame, base: float, pitch: float) -> str:
    """Return the shape of a state in some bars of a row that stands on `base`.

    One subpath ("M…") for each bar; bars that follow each other join without a seam.
    """
    return "".join(
        _cell(state, frame, bar, base, pitch, bar - 1 in bars, bar + 1 in bars) for bar in bars
    )


def _cell(
    state: Audibility,
    frame: Frame,
    bar: int,
    base: float,
    pitch: float,
    joined_left: bool,
    joined_right: bool,
) -> str:
    x, width = frame.x(bar), frame.bar
    if state in (Audibility.HEARD, Audibility.DOUBTFUL):
        height = pitch * _HEIGHTS[state]
        return f"M{x:.2f} {fmt(base)}v{fmt(-height)}h{width:.2f}v{fmt(height)}z"
    if state is Audibility.UNKNOWN:
        return f"M{x + width * 0.2:.2f} {fmt(base - pitch * 0.2)}h{width * 0.6:.2f}"
    height = pitch * 0.2
    low = base + height
    left = f"v{fmt(height)}" if not joined_left else f"m0 {fmt(height)}"
    right = f"v{fmt(-height)}" if not joined_right else f"m0 {fmt(-height)}"
    assert low > base
    return f"M{x:.2f} {fmt(base)}{left}h{width:.2f}{right}h{-width:.2f}"


def hatching(bars: Sequence[int], frame: Frame, base: float, pitch: float) -> str:
    """Return slanting strokes that fill the doubtful cells, each cut off at its cell's edge.

    They are drawn one by one: makers of PDF files trip over patterns.
    """
    high = pitch * _HEIGHTS[Audibility.DOUBTFUL]
    strokes: list[str] = []
    for bar in bars:
        left, right = frame.x(bar), frame.x(bar) + frame.bar
        for foot in range(int(left - high) // _HATCH * _HATCH, int(right) + 1, _HATCH):
            start, stop = max(0.0, left - foot), min(high, right - foot)
            if start < stop:
                x, y, run = foot + start, base - start, stop - start
                strokes.append(f"M{x:.1f} {y:.1f}l{run:.1f} {-run:.1f}")
    return "".join(strokes)


def _legend(y: float) -> Iterator[str]:
    frame = Frame(0, 3, 18.0, 14.0)
    shift = 0.0
    for state, word in STATE_WORDS.items():
        at = frame._replace(left=18.0 + shift)
        yield path(f"cell {state}", cells(state, [0, 1, 2], at, y + 17, 18.0))
        if state is Audibility.DOUBTFUL:
            yield path("hatch", hatching([0, 1, 2], at, y + 17, 18.0))
        yield line("row", at.left, y + 17, at.x(3), y + 17)
        yield text(at.x(3) + 8, y + 17, word, "legend")
        shift += 42 + 26 + 7.2 * len(word)


def _label(whole: WholePiece, frame: Frame) -> str:
    last = whole.bars[frame.first + frame.bars - 1]
    return (
        f"Hearing ribbons of {len(whole.hearing)} lines, bars {whole.bars[frame.first]} to {last}; "
        "the table below says the same in figures."
    )
