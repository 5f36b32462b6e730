"""For the documentation builder: the examples of the checks, engraved.

The page of a check marks the place with a comment, `<!-- picture: SLUG/bad -->`; there the score is
set into the page with what the check says of it, its places ringed as in a letter. The pictures are
made when the documentation is built and are kept nowhere.
"""

import re
from functools import cache
from html import escape
from importlib.resources import files

from redstave import app
from redstave.analysis import Analysis
from redstave.reading import xml_of
from redstave.render.compose import compose
from redstave.render.engraver import music_font_css
from redstave.render.excerpt import Excerpt, ExcerptRequest, excerpts, glyph_sheet
from redstave.render.page_xml import page as page_of
from redstave.render.wording import sentence
from tools.examples import example, path_of

PLACE = re.compile(r"<!-- picture: ([a-z-]+)/(good|bad) -->")
LONGEST = 6  # bars
MOST = 2  # pictures of one example
COLOURS = (
    ".example { --ink: #1f1b16; --soft: #5f584c; --red: #b3241c; --serif: Georgia, serif;"
    " margin: 0 0 1em; overflow-x: auto; } .example figcaption { font-style: italic; }"
)


def on_page_content(html: str, **_: object) -> str:
    """Return a page with its pictures in place; called by the builder for every page."""
    if not PLACE.search(html):
        return html
    pictures = {found[0]: _figure(found[1], found[2]) for found in PLACE.finditer(html)}
    shown = [picture for _, some in pictures.values() for picture in some]
    sheet = glyph_sheet({name: outline for one in shown for name, outline in one.glyphs})
    text = PLACE.sub(lambda found: pictures[found[0]][0], html)
    return f"<style>{_style()}</style>{sheet}{text}"


def _figure(slug: str, kind: str) -> tuple[str, list[Excerpt]]:
    """Return the figure of one example, and the excerpts in it."""
    path, analysis = path_of(slug, kind), example(slug, kind)
    view = compose(app.review(analysis, slug, app.choose(only=[slug])), analysis, "")
    remarks = (*view.remarks, *view.credits)
    requests = [one for remark in remarks for one in remark.requests][:MOST] or [_whole(analysis)]
    xml, _, _ = xml_of(path.read_bytes(), path.name)
    shown = list(excerpts(page_of(xml), requests))
    if failed := [one.remark for one in shown if not one.svg]:
        raise RuntimeError(f"{slug}/{kind}: {failed[0]}")
    said = [sentence(remark.words, remark.claim) for remark in remarks]
    caption = escape(" ".join(said) or "Nothing to remark.")
    music = "".join(one.svg for one in shown)
    return f'<figure class="example">{music}<figcaption>{caption}</figcaption></figure>', shown


def _whole(analysis: Analysis) -> ExcerptRequest:
    score = analysis.score
    parts = tuple(part.id for part in score.parts)
    return ExcerptRequest(0, min(LONGEST, len(score.bars)) - 1, parts, title=score.title)


@cache
def _style() -> str:
    """Return what the letter's style says of engraved music, and the music font."""
    sheet = files("redstave.render").joinpath("templates", "letter.css").read_text("utf-8")
    rules = [line for line in sheet.splitlines() if line.startswith((".score", ".glyphs"))]
    if not rules:
        raise RuntimeError("the letter's style no longer says how music looks")
    return COLOURS + "".join(rules) + music_font_css()
