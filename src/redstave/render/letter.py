"""The letter: one self-contained HTML page, without script and without a single request.

The words come from `wording`, the pictures from `excerpt`, `ribbons` and `level_plan`; this module
only sets them in order: what works, what cannot be played, risks, questions, the whole piece, what
was not assessed, what the file left open.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from functools import cache
from importlib.resources import files
from typing import NamedTuple

from jinja2 import Environment, PackageLoader, StrictUndefined, Template
from markupsafe import Markup

from redstave.analysis import Analysis
from redstave.model.finding import Claim
from redstave.model.review import Review
from redstave.model.score import Problem
from redstave.render.compose import compose
from redstave.render.engraver import music_font_css
from redstave.render.excerpt import Excerpt, excerpts, glyph_sheet
from redstave.render.level_plan import level_plan
from redstave.render.page_xml import Page, page
from redstave.render.ribbons import ribbons
from redstave.render.summary import summary
from redstave.render.view import Audibility, HearingRow, RemarkView, ReviewView
from redstave.render.wording import listed, number, sentence, unit

HEADINGS = (
    (Claim.IMPOSSIBLE, "Impossible as written", "These can be shown from the page alone."),
    (Claim.RISK, "Risks", "A limit is passed; the players or the hall may prove it wrong."),
    (Claim.QUESTION, "Questions", "Nobody but you knows the answer."),
)


class Shown(NamedTuple):
    """One remark with its pictures and its number in the letter ("" for a credit)."""

    remark: RemarkView
    number: str
    excerpts: tuple[Excerpt, ...]
    statement: str


class Section(NamedTuple):
    """The remarks of one kind under their heading."""

    claim: str
    heading: str
    note: str
    shown: tuple[Shown, ...]


class Tally(NamedTuple):
    """One line's hearing in words: bars heard, doubtful and covered, and where covered."""

    name: str
    heard: int
    doubtful: int
    covered: int
    unknown: int
    where: str


class OpenPoint(NamedTuple):
    """One thing the file left open, with all its places."""

    text: str
    places: str


def letter_html(review: Review, analysis: Analysis, xml: bytes, date: str) -> str:
    """Write the letter of one entry; `xml` is its uncompressed MusicXML, `date` is printed as is.

    Engraving happens in a child process; a passage it cannot set is replaced by a sentence.
    """
    return letter(compose(review, analysis, date), page(xml))


def letter(view: ReviewView, source: Page) -> str:
    """Write the letter of a composed view; excerpts are cut from the page it speaks of."""
    everything = [*view.credits, *view.remarks]
    pictures = excerpts(source, [r for remark in everything for r in remark.requests])
    glyphs = {name: outline for picture in pictures for name, outline in picture.glyphs}
    waiting = iter(pictures)
    shown = {remark.anchor: _shown(remark, waiting) for remark in everything}
    works = [shown[remark.anchor] for remark in view.credits]
    sections, count = [], 0
    for claim, heading, note in HEADINGS:
        members = [shown[remark.anchor] for remark in view.of_claim(claim)]
        numbered = [one._replace(number=str(count + n)) for n, one in enumerate(members, 1)]
        count += len(members)
        if members:
            sections.append(Section(claim.value, heading, note, tuple(numbered)))
    return _template().render(
        view=view,
        works=works,
        sections=sections,
        summary=summary(view),
        begin=[one for section in sections for one in section.shown][:3],
        ribbons=Markup(ribbons(view.whole)) if view.whole.hearing else "",
        levels=Markup(level_plan(view.whole)) if view.whole.levels else "",
        tallies=[_tally(row, view.whole.bars) for row in view.whole.hearing],
        open_points=list(_open_points(view.problems)),
        glyphs=Markup(glyph_sheet(glyphs)),
        style=Markup(_style()),
    )


def _shown(remark: RemarkView, pictures: Iterator[Excerpt]) -> Shown:
    own = tuple(next(pictures) for _ in remark.requests)
    return Shown(remark, "", own, sentence(remark.words, remark.claim))


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
    environment.filters["measured"] = number
    environment.filters["unit"] = unit
    environment.filters["svg"] = lambda text: Markup(text)
    return environment.get_template("letter.html.j2")
