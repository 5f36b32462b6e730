"""A criterion's bands as a small scale, with the points that were given on it."""

from redstave.render.critique_view import CriterionView
from redstave.render.ink import fmt, line, path, svg

WIDTH, HEIGHT = 220.0, 26.0
_LEFT, _RIGHT, _LINE = 6.0, 6.0, 15.0


def band_scale(criterion: CriterionView) -> str:
    """Draw a stroke where each band begins and a lozenge at the points; "" without any."""
    if criterion.points is None or criterion.most <= 0:
        return ""
    end = WIDTH - _RIGHT
    pieces = [line("row", _LEFT, _LINE, end, _LINE)]
    inner = [at for _, at in criterion.scale if 0 < at < criterion.most]
    for at in (0.0, *inner, criterion.most):
        x = _x(at, criterion.most)
        pieces.append(line("step", x, _LINE - 5, x, _LINE + 5))
    given = _x(criterion.points, criterion.most)
    pieces.append(line("reached", _LEFT, _LINE, given, _LINE))
    pieces.append(path("given", f"M{fmt(given)} {fmt(_LINE - 8)}l6 8l-6 8l-6 -8z"))
    label = f"{criterion.points:g} of {criterion.most:g} points"
    return svg(WIDTH, HEIGHT, "scale", label, pieces)


def _x(points: float, most: float) -> float:
    return _LEFT + min(1.0, max(0.0, points / most)) * (WIDTH - _LEFT - _RIGHT)
