"""The picture of density: its steps are the figures it is given."""

import re

from redstave.render.density import density_panel
from redstave.render.ribbons import Frame
from redstave.render.view import WholePiece

BARS = WholePiece(tuple(str(bar) for bar in range(1, 5)))
FRAME = Frame(0, 4, 150.0, 200.0)


def heights(svg: str) -> list[float]:
    """Return the height of the line over each bar, in px over the foot of the picture."""
    (line,) = re.findall(r'class="loud" d="M([^"]+)"', svg)
    points = [tuple(map(float, one.split())) for one in line.split("L")]
    foot = 46.0 + 96.0
    return [foot - points[at][1] for at in range(0, len(points), 2)]


def test_steps_are_in_proportion() -> None:
    """A bar with twice the lines stands twice as high; an empty one lies on the foot."""
    one, two, none, four = heights(density_panel(BARS, FRAME, [1.0, 2.0, 0.0, 4.0], 5))
    assert none == 0.0
    assert two == 2 * one
    assert four == 2 * two


def test_the_words_name_the_fullest_bar() -> None:
    """A screen reader is told how full it gets and where."""
    assert "at most 4 sound at once, in bar 4" in density_panel(BARS, FRAME, [1, 2, 0, 4], 5)


def test_silence_can_be_drawn() -> None:
    """A piece in which nobody plays gives a flat line and no error."""
    assert heights(density_panel(BARS, FRAME, [0.0] * 4, 0)) == [0.0] * 4
