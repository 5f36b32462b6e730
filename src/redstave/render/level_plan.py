"""The level plan: for each family, the levels in force from the first bar to the last."""

from collections.abc import Iterator, Sequence

from redstave.model.line import LEVEL_NUMBERS, Playing
from redstave.model.score import Score
from redstave.render.ink import fmt, line, path, svg, text
from redstave.render.ribbons import WIDTH, Frame, bar_axis, frames
from redstave.render.view import LevelRow, WholePiece

FAMILIES = {
    "woodwind": "Woodwind",
    "brass": "Brass",
    "percussion": "Percussion",
    "harp": "Harp",
    "keyboard": "Keyboards",
    "voice": "Voices",
    "strings": "Strings",
    "unknown": "Not identified",
}
_TICKS = ("pp", "p", "mf", "f", "ff")
_STRIP, _GAP, _HEAD = 84.0, 14.0, 46.0
_LEFT = 132.0


def level_plan(whole: WholePiece) -> str:
    """Draw the level plan, one SVG a panel: a band from the softest to the loudest line."""
    return "".join(level_panel(whole, frame) for frame in frames(len(whole.bars), _LEFT))


def level_rows(score: Score, playing: Playing) -> tuple[LevelRow, ...]:
    """Return softest and loudest level in force per family and bar, of the lines that play there.

    A tone counts in the bar where it begins, with the level at its beginning; tones whose level
    had to be assumed do not count, so that a gap in the plan shows where nothing is written.
    """
    bars = len(score.bars)
    found: dict[str, list[list[float]]] = {}
    for tone in playing.tones:
        family = playing.lines[tone.line].family
        cells = found.setdefault(family, [[] for _ in range(bars)])
        if tone.level_known:
            cells[tone.bar].append(tone.level)
    order = [family for family in FAMILIES if family in found]
    return tuple(
        LevelRow(
            FAMILIES[family],
            tuple(min(cell, default=None) for cell in found[family]),
            tuple(max(cell, default=None) for cell in found[family]),
        )
        for family in order
    )


def level_panel(whole: WholePiece, frame: Frame) -> str:
    """Draw the level plan of one panel as an SVG."""
    bottom = _HEAD + len(whole.levels) * (_STRIP + _GAP)
    pieces = [*bar_axis(whole, frame, _HEAD, bottom - _GAP)]
    for index, row in enumerate(whole.levels):
        pieces += _strip(row, frame, _HEAD + index * (_STRIP + _GAP))
    last = whole.bars[frame.first + frame.bars - 1]
    families = ", ".join(row.family for row in whole.levels)
    label = f"Level plan of {families}, bars {whole.bars[frame.first]} to {last}"
    return svg(WIDTH, bottom + 6, "levels", label, pieces)


def _strip(row: LevelRow, frame: Frame, top: float) -> Iterator[str]:
    yield text(0, top + _STRIP / 2 + 4, row.family, "family")
    for tick in _TICKS:
        y = _y(LEVEL_NUMBERS[tick], top)
        yield text(frame.left - 10, y + 4, tick, "level", "end")
        yield line("row", _LEFT, y, frame.x(frame.first + frame.bars), y)
    for first, last in _stretches(row.loudest, frame):
        loud = _steps(row.loudest, first, last, frame, top)
        soft = _steps(row.softest, first, last, frame, top)
        band = [*loud, *reversed(soft)]
        yield path("band", f"M{'L'.join(band)}z")
        yield path("soft", f"M{'L'.join(soft)}")
        yield path("loud", f"M{'L'.join(loud)}")


def _stretches(values: Sequence[float | None], frame: Frame) -> Iterator[tuple[int, int]]:
    """Yield the stretches of a panel (first bar, bar after the last) in which the family plays."""
    start: int | None = None
    for bar in range(frame.first, frame.first + frame.bars + 1):
        inside = bar < frame.first + frame.bars and values[bar] is not None
        if inside and start is None:
            start = bar
        elif not inside and start is not None:
            yield start, bar
            start = None


def _steps(
    values: Sequence[float | None], first: int, last: int, frame: Frame, top: float
) -> list[str]:
    points: list[str] = []
    for bar in range(first, last):
        value = values[bar]
        assert value is not None
        y = fmt(_y(value, top))
        points += [f"{frame.x(bar):.1f} {y}", f"{frame.x(bar + 1):.1f} {y}"]
    return points


def _y(level: float, top: float) -> float:
    """Return the y of a level: 1 (ppp) at the bottom of a strip, 8 (fff) at its top."""
    return top + (8.0 - level) / 7.0 * _STRIP
