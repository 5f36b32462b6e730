"""The scale of a criterion: its bands begin where they should, the points lie where they should."""

import re
from dataclasses import replace

import pytest

from redstave.render.band_scale import band_scale
from redstave.render.critique_view import CriterionView

ONE = CriterionView(
    "Balance", "", 10.0, 20.0, 50.0, "Sound", "", (), (("Low", 0.0), ("Good", 15.0))
)


def test_points_and_bands_lie_to_scale() -> None:
    """Half the points lie in the middle, the band from 15 of 20 begins at three quarters."""
    svg = band_scale(ONE)
    steps = [float(x) for x in re.findall(r'class="step" d="M([\d.]+)', svg)]
    (given,) = [float(x) for x in re.findall(r'class="given" d="M([\d.]+)', svg)]
    assert given == pytest.approx((steps[0] + steps[-1]) / 2)
    assert (steps[1] - steps[0]) / (steps[-1] - steps[0]) == pytest.approx(0.75)
    assert 'aria-label="10 of 20 points"' in svg


@pytest.mark.parametrize("points", [None, 999.0, -3.0])
def test_odd_points_stay_on_the_scale(points: float | None) -> None:
    """No points draw nothing; points beyond the scale lie at its end."""
    svg = band_scale(replace(ONE, points=points))
    found = re.findall(r'class="given" d="M([\d.]+)', svg)
    assert found == {None: [], 999.0: ["214"], -3.0: ["6"]}[points]
