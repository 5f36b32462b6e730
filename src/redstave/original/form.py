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


def begun_only(analysis: Analysis) -> frozenset[int]:
    """Return the bars (indices) of the entry in which the original is there in part only."""
    found = match_of(analysis)
    if found is None:
        return frozenset()
    return frozenset(
        entry
        for first, last in found.unfinished
        for bar in range(first, last + 1)
        for entry in found.entry_bars_of.get(bar, ())
    )
