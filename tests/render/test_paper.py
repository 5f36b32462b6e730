"""Pictures for paper stand by themselves: styled, with their glyphs, fetching nothing."""

import base64
import re

from lxml import etree

from redstave.render.critique_pictures import Medium
from redstave.render.paper import images, print_colours, rules_for
from tests.render.letters import letter, made

SHEET = """
:root { --ink: #222; --red: #b3241c; }
@media (prefers-color-scheme: dark) { :root { --ink: #eee; } .score path { stroke: pink; } }
/* .score path { stroke: gold; } */
.score path { stroke: var(--ink); } a:hover, .score .ring { stroke: var(--red); }
.score:hover path { stroke: blue; } p { color: green; } .other { fill: none; }
.critique .score text { fill: var(--ink); }
@media print { :root { --ink: #000; } }
"""
SVG = (
    '<svg class="score" role="img" aria-label="A &amp; &quot;B&quot;" viewBox="0 0 20 10"'
    ' style="--w:9px"><path class="ring" d="M0 0"/><use href="#gE0A4"/></svg>'
)


def opened(html: str) -> list[etree._Element]:
    """Return the pictures inside images."""
    found = re.findall(r'src="data:image/svg\+xml;base64,([^"]+)"', html)
    return [etree.fromstring(base64.b64decode(one)) for one in found]


def test_colours_are_those_of_print() -> None:
    """Variables have their first value, or the one for print; never that for a dark screen."""
    assert print_colours(SHEET) == {"ink": "#000", "red": "#b3241c"}


def test_only_rules_that_speak_of_the_picture_are_taken() -> None:
    """No rule of the page, of a state, of a comment or of another medium."""
    rules = rules_for(SVG, SHEET)
    assert rules.splitlines() == [
        ".score path { stroke: #000; }",
        ".score .ring { stroke: #b3241c; }",
        ".score text { fill: #000; }",
    ]


def test_an_image_stands_by_itself() -> None:
    """It has a size, its rules, the glyphs it uses and no other, and its words as alternative."""
    html = str(images(SVG, SHEET, {"E0A4": "M1 1", "E0A5": "M2 2"}))
    assert 'alt="A &amp; &#34;B&#34;"' in html
    assert 'style="--w:9px"' in html
    (svg,) = opened(html)
    assert (svg.get("width"), svg.get("height")) == ("20", "10")
    text = etree.tostring(svg, encoding="unicode")
    assert 'id="gE0A4"' in text
    assert "gE0A5" not in text
    assert "var(" not in text


def test_every_picture_of_a_letter_stands_by_itself() -> None:
    """No glyph, pattern or colour of a picture on paper is defined outside it."""
    html = made(letter()).html(Medium.PAPER)
    pictures = opened(html)
    assert len(pictures) > 6
    assert "<svg" not in html
    for svg in pictures:
        ids = {str(one.get("id")) for one in svg.iter() if one.get("id")}
        for one in svg.iter():
            assert str(one.get("href", "#"))[1:] in {"", *ids}
        text = etree.tostring(svg, encoding="unicode")
        assert "var(" not in text
        assert "url(" not in text
