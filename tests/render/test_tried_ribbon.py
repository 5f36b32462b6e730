"""A ribbon in a table: one shape for each state, as in the whole piece."""

import re

from redstave.render.tried_ribbon import tried_ribbon
from redstave.render.view import Audibility


def test_each_state_has_its_shape() -> None:
    """Heard, doubtful and covered differ in shape; doubtful is hatched; silence draws nothing."""
    states = (Audibility.HEARD, Audibility.DOUBTFUL, Audibility.COVERED, Audibility.SILENT)
    drawn = tried_ribbon(states)
    shapes = dict(re.findall(r'class="cell (\w+)" d="([^"]+)"', drawn))
    assert shapes.keys() == {"heard", "doubtful", "covered"}
    assert len({re.sub(r"M[\d.]+", "", shape) for shape in shapes.values()}) == 3
    assert 'class="hatch"' in drawn


def test_as_many_barlines_as_between_the_bars() -> None:
    """Four bars have three barlines between them."""
    assert tried_ribbon((Audibility.HEARD,) * 4).count('class="guide"') == 3
