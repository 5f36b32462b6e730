"""The finished letter in the teacher's name: one self-contained HTML page, without script.

What it shows comes from `critique_compose`, its pictures from `critique_pictures`, its form from
`critique_template`. The same template makes the page for the screen and the one that becomes a
PDF; only the pictures differ.
"""

import re
from dataclasses import dataclass

from markupsafe import Markup

from redstave.analysis import Analysis
from redstave.model.letter import Letter
from redstave.model.review import Review
from redstave.render.critique_compose import compose_critique
from redstave.render.critique_pictures import Drawn, Medium, draw, pictures
from redstave.render.critique_template import Design, design
from redstave.render.critique_view import CritiqueView
from redstave.render.engraver import music_font_css
from redstave.render.page_xml import Page, page

_PLAIN = re.compile(r"[A-Za-z0-9 ]")


@dataclass(frozen=True, slots=True)
class Critique:
    """A letter composed and drawn, ready to become a page for either medium."""

    view: CritiqueView
    drawn: Drawn
    design: Design

    def html(self, medium: Medium = Medium.SCREEN) -> str:
        """Return the page; InputError where the teacher's own template fails."""
        sheet = self.design.style + "".join(strip.style for strip in self.view.strips)
        style = sheet.replace("</", "<\\/") + music_font_css()
        values = {
            "view": self.view,
            "pictures": pictures(self.drawn, medium, sheet),
            "style": Markup(style),
            "page_name": Markup(css_string(self.view.entry)),
            "medium": medium.value,
        }
        return self.design.render(values)


def critique(view: CritiqueView, source: Page, look: Design | None = None) -> Critique:
    """Draw a composed letter; excerpts are cut from the page it speaks of."""
    return Critique(view, draw(view, source), look or design())


def critique_html(letter: Letter, review: Review, analysis: Analysis, xml: bytes) -> str:
    """Write a letter as HTML for the screen; `xml` is the entry's uncompressed MusicXML."""
    return critique(compose_critique(letter, review, analysis), page(xml)).html()


def css_string(text: str) -> str:
    """Return a text as a string of CSS, every letter that could mean anything escaped."""
    inside = "".join(one if _PLAIN.match(one) else f"\\{ord(one):x} " for one in text)
    return f'"{inside}"'
