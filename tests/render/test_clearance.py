"""Bar numbers: above the stave, and above whatever stands in their way."""

import re

from redstave.render.clearance import Extent, free_height
from redstave.render.excerpt import ExcerptRequest, excerpts
from redstave.render.page_xml import page
from tests.render.quay import ATTRIBUTES, score_of, whole_note


def test_a_number_rises_over_what_stands_in_its_way() -> None:
    """Only shapes within reach and above the stave lift the number."""
    far, near, below = Extent(900, 950, 0), Extent(0, 50, 300), Extent(0, 50, 1200)
    bare = free_height(-10, 60, 1000, [far, below])
    assert bare < 1000
    assert free_height(-10, 60, 1000, [far, near, below]) < 300


def test_the_picture_grows_to_hold_its_numbers() -> None:
    """No bar number lies above the upper edge of its excerpt, however high the note."""
    high = whole_note().replace("<octave>5", "<octave>8")
    bars = f"<measure number='1'>{ATTRIBUTES}{high}</measure><measure number='2'>{high}</measure>"
    (shown,) = excerpts(page(score_of(bars)), [ExcerptRequest(0, 1, ("P1",))])
    box = re.search(r'viewBox="0 (-?\d+)', shown.svg)
    margin = re.search(r'translate\(\d+, (\d+)\)"><', shown.svg)
    assert box
    assert margin
    numbers = re.findall(r'class="mNum"><text x="\d+" y="(-?\d+)"', shown.svg)
    assert len(numbers) == 2
    assert all(float(y) + float(margin[1]) - 250 > float(box[1]) for y in numbers)
