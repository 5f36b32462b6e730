"""Sections and their colours, with the piano piece in mind: where its music returns."""

from redstave.analysis import Analysis
from redstave.analysis.form import Form, form
from redstave.analysis.sections import Section, sections
from redstave.original.match import match_of
from redstave.original.returns import returns


def sections_of(analysis: Analysis) -> tuple[Section, ...]:
    """Return the sections of an entry: as the page marks them, and where the original returns.

    The teacher's own cuts (`Analysis.cuts`) overrule both.
    """
    return analysis.remember(_sections_of)


def form_of(analysis: Analysis) -> Form:
    """Return what each section of an entry is scored in; the entry must have sounding tones."""
    return analysis.remember(_form_of)


def _form_of(analysis: Analysis) -> Form:
    return form(analysis, sections_of(analysis))


def _sections_of(analysis: Analysis) -> tuple[Section, ...]:
    found = match_of(analysis)
    more = returns(analysis.original, found) if analysis.original and found else {}
    return sections(analysis.score, analysis.playing.tempo, more, analysis.cuts)
