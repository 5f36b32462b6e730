"""Density: how many lines sound at once, bar by bar, from the first to the last."""

from collections.abc import Iterator, Sequence

from redstave.render.ink import fmt, line, path, svg, text
from redstave.render.ribbons import WIDTH, Frame, bar_axis
from redstave.render.view import WholePiece
from redstave.render.wording import number

_HEAD, _STRIP, _FOOT = 46.0, 96.0, 8.0
_STEPS = (1, 2, 5, 10, 20, 50, 100)
_MOST_TICKS = 4


def density_panel(whole: WholePiece, frame: Frame, lines: Sequence[float], players: int) -> str:
    """Draw one panel as an SVG.

    `lines` is the mean number of lines that sound at once in each bar, `players` how many lines
    play at all.
    """
    top, bottom = _HEAD, _HEAD + _STRIP
    most = max(1.0, *lines) if lines else 1.0
    scale = _STRIP / most

    def y(value: float) -> float:
        return bottom - value * scale

    pieces = [*bar_axis(whole, frame, top, bottom), *_ticks(frame, most, y(0.0), scale)]
    inside = lines[frame.first : frame.first + frame.bars]
    steps = [
        f"{frame.x(frame.first + at + side):.1f} {fmt(y(value))}"
        for at, value in enumerate(inside)
        for side in (0, 1)
    ]
    if steps:
        left, right = fmt(frame.x(frame.first)), fmt(frame.x(frame.first + len(inside)))
        pieces.append(
            path("band", f"M{left} {fmt(bottom)}L{'L'.join(steps)}L{right} {fmt(bottom)}z")
        )
        pieces.append(path("loud", f"M{'L'.join(steps)}"))
    pieces.append(text(0, (top + bottom) / 2 + 4, "Lines at once", "family"))
    return svg(WIDTH, bottom + _FOOT, "levels", _label(whole, frame, inside, players), pieces)


def _ticks(frame: Frame, most: float, base: float, scale: float) -> Iterator[str]:
    step = next((one for one in _STEPS if most / one <= _MOST_TICKS), 200)
    for value in range(0, int(most) + 1, step):
        height = base - value * scale
        yield text(frame.left - 10, height + 4, str(value), "level", "end")
        yield line("row", frame.left, height, frame.x(frame.first + frame.bars), height)


def _label(whole: WholePiece, frame: Frame, inside: Sequence[float], players: int) -> str:
    last = whole.bars[frame.first + frame.bars - 1]
    peak = max(range(len(inside)), key=inside.__getitem__, default=0)
    most = number(round(inside[peak], 1)) if inside else "none"
    where = whole.bars[frame.first + peak] if inside else last
    return (
        f"Density in bars {whole.bars[frame.first]} to {last}: of {players} lines at most {most} "
        f"sound at once, in bar {where}"
    )
