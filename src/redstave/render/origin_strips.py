"""Carrier strips: what became of each voice of the piano piece, one picture over all bars.

A voice is a block of lanes, one for each part that carries it. The shapes are those of the hearing
ribbons: a full band is heard, a hatched half band doubtful, a red outline under the row covered.
"8va" and its like tell in which octave a band lies against the piano. The line over the lanes runs
where the voice has notes at all; a red cross stands on it where nobody plays them.
"""

from collections.abc import Iterator, Sequence
from itertools import groupby

from redstave.render.ink import fmt, line, path, shortened, svg, text
from redstave.render.ribbons import (
    STATE_WORDS,
    WIDTH,
    Frame,
    bar_axis,
    cells,
    frames,
    hatching,
)
from redstave.render.view import Audibility, Cell, Lane, OriginView, StripView, WholePiece

LONGEST_NAME = 26
_HEAD = 46.0
_TITLE, _PITCH, _GAP = 22.0, 21.0, 12.0
_LEGEND = 44.0
_ROOM = 26.0  # px that the sign of an octave takes
OCTAVES = {1: "8va", 2: "15ma", 3: "22ma", -1: "8vb", -2: "15mb", -3: "22mb"}


def origin_strips(origin: OriginView, whole: WholePiece) -> str:
    """Draw the strips of all voices: one SVG a panel, the legend under the last."""
    panels = list(frames(len(whole.bars), strip_label_width(origin)))
    return "".join(strip_panel(origin, whole, frame, frame is panels[-1]) for frame in panels)


def strip_label_width(origin: OriginView) -> float:
    """Return the room that the names of the lanes need, in px."""
    names = [lane.name for strip in origin.strips for lane in strip.lanes]
    return 60.0 + 5.8 * max((min(len(name), LONGEST_NAME) for name in names), default=0)


def strip_panel(origin: OriginView, whole: WholePiece, frame: Frame, explained: bool = True) -> str:
    """Draw the strips in one panel as an SVG, with the legend where it is to be `explained`."""
    drawn, height = _panel(origin.strips, whole, frame)
    if explained:
        drawn += _legend(height)
        height += _LEGEND
    return svg(WIDTH, height, "ribbons strips", _label(origin, whole, frame), drawn)


def _panel(strips: Sequence[StripView], whole: WholePiece, frame: Frame) -> tuple[list[str], float]:
    top = _HEAD
    pieces: list[str] = []
    for strip in strips:
        pieces += _block(strip, frame, top)
        top += _height(strip) + _GAP
    return [*bar_axis(whole, frame, _HEAD, top - _GAP), *pieces], top


def _height(strip: StripView) -> float:
    return _TITLE + _PITCH * len(strip.lanes)


def _block(strip: StripView, frame: Frame, top: float) -> Iterator[str]:
    """Draw a voice: its name and where it has notes, then a lane for each part."""
    middle = top + _TITLE * 0.62
    yield text(16, middle + 4, strip.name, "voice")
    yield path("bracket", f"M10 {fmt(top + 5)}h-3V{fmt(top + _height(strip) - 1)}h3")
    for first, last in _runs(strip.sounds, frame):
        yield line("there", frame.x(first) + 1, middle, frame.x(last + 1) - 1, middle)
    for bar in range(frame.first, frame.first + frame.bars):
        if strip.alone[bar]:
            yield _cross(frame.x(bar + 0.5), middle)
    for number, lane in enumerate(strip.lanes):
        yield from _lane(lane, frame, top + _TITLE + number * _PITCH)


def _runs(flags: Sequence[bool], frame: Frame) -> Iterator[tuple[int, int]]:
    start: int | None = None
    for bar in range(frame.first, frame.first + frame.bars + 1):
        inside = bar < frame.first + frame.bars and flags[bar]
        if inside and start is None:
            start = bar
        elif not inside and start is not None:
            yield start, bar - 1
            start = None


def _cross(x: float, y: float) -> str:
    return path("nobody", f"M{fmt(x - 3.5)} {fmt(y - 3.5)}l7 7m0 -7l-7 7")


def _lane(lane: Lane, frame: Frame, top: float) -> Iterator[str]:
    base = top + _PITCH * 0.8
    yield text(frame.left - 8, base - 1.5, shortened(lane.name, LONGEST_NAME), "name", "end")
    yield line("row", frame.left, base, frame.x(frame.first + frame.bars), base)
    shown = lane.cells[frame.first : frame.first + frame.bars]
    for state in STATE_WORDS:
        bars = [frame.first + n for n, cell in enumerate(shown) if cell and cell.state is state]
        if bars:
            yield path(f"cell {state}", cells(state, bars, frame, base, _PITCH))
            if state is Audibility.DOUBTFUL:
                yield path("hatch", hatching(bars, frame, base, _PITCH))
    yield from _octaves(shown, frame, base)


def _octaves(shown: Sequence[Cell | None], frame: Frame, base: float) -> Iterator[str]:
    """Write the octave where a band begins in another than the piano's, or changes into one.

    It stands inside a full band that has room for it, and over any other shape.
    """
    at = 0
    for octave, run in groupby(shown, key=lambda cell: cell.octave if cell else 0):
        cells_ = list(run)
        if octave and cells_[0]:
            words = OCTAVES.get(octave, f"{octave:+d} octaves")
            full = all(cell and cell.state is Audibility.HEARD for cell in cells_)
            inside = full and len(cells_) * frame.bar >= _ROOM
            y = base - _PITCH * (0.2 if inside else 0.72 if full else 0.45)
            x = frame.x(frame.first + at) + 2 * inside
            yield text(x, y, words, "octave inside" if inside else "octave")
        at += len(cells_)


def _legend(y: float) -> Iterator[str]:
    frame = Frame(0, 3, 18.0, 14.0)
    shift = 0.0
    base = y + 24
    for state, word in STATE_WORDS.items():
        at = frame._replace(left=18.0 + shift)
        yield path(f"cell {state}", cells(state, [0, 1, 2], at, base, 18.0))
        if state is Audibility.DOUBTFUL:
            yield path("hatch", hatching([0, 1, 2], at, base, 18.0))
        yield line("row", at.left, base, at.x(3), base)
        yield text(at.x(3) + 8, base, word, "legend")
        shift += 42 + 26 + 7.2 * len(word)
    yield line("there", 18 + shift, base - 5, 60 + shift, base - 5)
    yield _cross(39 + shift, base - 5)
    yield text(68 + shift, base, "the voice has notes; a cross: nobody plays them", "legend")


def _label(origin: OriginView, whole: WholePiece, frame: Frame) -> str:
    last = whole.bars[frame.first + frame.bars - 1]
    voices = ", ".join(strip.name for strip in origin.strips)
    return (
        f"Carrier strips of {voices}, bars {whole.bars[frame.first]} to {last}; "
        "the table below says the same in words."
    )
