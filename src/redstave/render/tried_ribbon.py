"""A short hearing ribbon of one line in a few bars, to stand in a table beside another."""

from collections.abc import Sequence

from redstave.render.ink import fmt, line, path
from redstave.render.ribbons import STATE_WORDS, Frame, cells, hatching
from redstave.render.view import Audibility

PITCH, BASE = 24.0, 20.0  # px: the height of a row, and where its line stands
WIDTH = 260.0
NARROWEST = 6.0  # px a bar


def tried_ribbon(states: Sequence[Audibility]) -> str:
    """Draw a ribbon as an SVG of one row; what it shows is said in words beside it."""
    width = max(WIDTH, NARROWEST * len(states))
    frame = Frame(0, len(states), 0.0, width / max(1, len(states)))
    barlines = map(frame.x, range(1, len(states)))
    pieces = [line("row", 0.0, BASE, width, BASE)]
    pieces += [line("guide", x, 2.0, x, PITCH + 2.0) for x in barlines]
    for state in STATE_WORDS:
        bars = [bar for bar, one in enumerate(states) if one is state]
        if bars:
            pieces.append(path(f"cell {state}", cells(state, bars, frame, BASE, PITCH)))
            if state is Audibility.DOUBTFUL:
                pieces.append(path("hatch", hatching(bars, frame, BASE, PITCH)))
    size = f'viewBox="0 0 {fmt(width)} {fmt(PITCH + 4)}" width="{fmt(width)}"'
    return f'<svg class="ribbons" aria-hidden="true" {size}>{"".join(pieces)}</svg>'
