"""The letter: one self-contained HTML page, without script and without a single request.

The words come from `wording`, the pictures from `excerpt`, `ribbons` and `level_plan`; this module
only sets them in order: what works, what cannot be played, risks, questions, the whole piece, what
was not assessed, what the file left open.
"""

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from functools import cache
from importlib.resources import files
from typing import NamedTuple

from jinja2 import Environment, PackageLoader, StrictUndefined, Template
from markupsafe import Markup

from redstave.analysis import Analysis
from redstave.model.review import Review
from redstave.model.score import Problem
from redstave.render.arrange import sections, works
from redstave.render.compose import compose
from redstave.render.engraver import music_font_css
from redstave.render.excerpt import Excerpt, excerpts, glyph_sheet
from redstave.render.figures import figures, in_a_line
from redstave.render.level_plan import level_plan
from redstave.render.open_questions import OpenPoint
from redstave.render.origin_strips import origin_strips
from redstave.render.outcomes import in_a_sentence, not_found, unjudged
from redstave.render.page_xml import Page, page
from redstave.render.ribbons import ribbons
from redstave.render.summary import summary
from redstave.render.units import explained
from redstave.render.view import Audibility, HearingRow, RemarkView, ReviewView
from redstave.render.wording import listed, sentence

#: The space before a number that belongs to the word before it, and the one before a unit.
_LOOSE = re.compile(
    r"(?<=[^\W\d_]) (?=\d)|(?<=♭) (?=\d)|(?<=\d\.) (?=\d)|(?<=\d) (?=dB|%|s\b|: \d)|(?<=±) (?=\d)"
)


class Tally(NamedTuple):
    """One line's hearing in words: bars heard, doubtful and covered, and where covered."""

    name: str
    heard: int
    doubtful: int
    covered: int
    unknown: int
    where: str


def letter_html(review: Review, analysis: Analysis, xml: bytes, date: str) -> str:
    """Write the letter of one entry; `xml` is its uncompressed MusicXML, `date` is printed as is.

    Engraving happens in a child process; a passage it cannot set is replaced by a sentence.
    """
    return letter(compose(review, analysis, date), page(xml))


def letter(view: ReviewView, source: Page) -> str:
    """Write the letter of a composed view; excerpts are cut from the page it speaks of."""
    earned, found = works(view), sections(view)
    kinds = [*earned, *(kind for section in found for kind in section.kinds)]
    shown = [remark for kind in kinds for remark in kind.shown]
    pictures = excerpts(source, [request for remark in shown for request in remark.requests])
    glyphs = {name: outline for picture in pictures for name, outline in picture.glyphs}
    return _template().render(
        view=view,
        works=earned,
        unjudged=unjudged(view.not_assessed),
        not_found=not_found(view.silent),
        units=explained(_figures_of(shown)),
        sections=found,
        pictures=_by_anchor(shown, pictures),
        summary=summary(view, found),
        ribbons=Markup(ribbons(view.whole)) if view.whole.hearing else "",
        strips=_strips(view),
        levels=Markup(level_plan(view.whole)) if view.whole.levels else "",
        tallies=[_tally(row, view.whole.bars) for row in view.whole.hearing],
        open_points=list(_open_points(view.problems)),
        glyphs=Markup(glyph_sheet(glyphs)),
        style=Markup(_style()),
    )


def _figures_of(remarks: Sequence[RemarkView]) -> Iterator[str]:
    """Yield what remarks say in figures."""
    for remark in remarks:
        yield from (remark.words.statement, in_a_line(remark.evidence), *remark.tried)


def _strips(view: ReviewView) -> Markup:
    if view.origin is None or not view.origin.strips:
        return Markup("")
    return Markup(origin_strips(view.origin, view.whole))


def _by_anchor(
    remarks: Sequence[RemarkView], pictures: Sequence[Excerpt]
) -> dict[str, list[Excerpt]]:
    waiting = iter(pictures)
    return {remark.anchor: [next(waiting) for _ in remark.requests] for remark in remarks}


def _tally(row: HearingRow, bars: Sequence[str]) -> Tally:
    states = Counter(row.cells)
    covered = [bars[at] for at, cell in enumerate(row.cells) if cell is Audibility.COVERED]
    return Tally(
        row.name,
        states[Audibility.HEARD],
        states[Audibility.DOUBTFUL],
        states[Audibility.COVERED],
        states[Audibility.UNKNOWN],
        listed(covered, 12),
    )


def _open_points(problems: Sequence[Problem]) -> Iterator[OpenPoint]:
    """Gather equal problems, in the order of their first place."""
    places: dict[str, list[str]] = {}
    for problem in problems:
        where = ", ".join(filter(None, [problem.part, problem.bar and f"bar {problem.bar}"]))
        places.setdefault(problem.text, []).append(where)
    for text, found in places.items():
        yield OpenPoint(text, listed(list(dict.fromkeys(filter(None, found))), 6))


def tied(words: str) -> str:
    """Return words with no line break inside "bar 5", "Flute 1. 2" or "6.2 dB"."""
    return _LOOSE.sub("\N{NO-BREAK SPACE}", words)


@cache
def _style() -> str:
    sheet = files("redstave.render").joinpath("templates", "letter.css")
    return sheet.read_text(encoding="utf-8") + music_font_css()


@cache
def _template() -> Template:
    environment = Environment(
        loader=PackageLoader("redstave.render", "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters |= {"figures": figures, "in_a_line": in_a_line}
    environment.filters["in_a_sentence"] = in_a_sentence
    environment.filters["tied"] = tied
    environment.filters["sentence"] = lambda remark: sentence(remark.words, remark.claim)
    environment.filters["svg"] = lambda text: Markup(text)
    return environment.get_template("letter.html.j2")
