"""Excerpts for a page with scripts: nothing but a drawing is left."""

import pytest

from redstave.render.cleaned import cleaned

HOSTILE = (
    '<svg class="score" role="img" aria-label="Bar 1" viewBox="0 0 10 10">'
    '<g class="measure" onclick="alert(1)"><script>alert(2)</script>'
    '<a href="https://example.org"><text>linked</text></a><text x="1" y="2">words</text>'
    '<image href="x"/><foreignObject><div/></foreignObject>'
    '<use href="#gE0A4" x="1"/><use href="other.svg#a"/>'
    '<path d="M0 0L1 1" style="stroke:url(x)"/></g></svg>'
)


@pytest.mark.parametrize(
    "evil", ["script", "onclick", "https", "image", "foreignObject", "style", "other.svg"]
)
def test_what_is_no_drawing_is_taken_out(evil: str) -> None:
    """Scripts, handlers, links, pictures, foreign markup, styles and addresses are gone."""
    assert evil in HOSTILE
    assert evil not in cleaned(HOSTILE)


def test_the_drawing_stays() -> None:
    """Words, glyphs, lines and what a screen reader is told are kept."""
    kept = cleaned(HOSTILE)
    for part in ("words", 'href="#gE0A4"', 'd="M0 0L1 1"', 'aria-label="Bar 1"'):
        assert part in kept
