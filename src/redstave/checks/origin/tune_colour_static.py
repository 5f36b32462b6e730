"""The check `tune-colour-static`."""

from collections.abc import Iterator

from redstave.analysis import Analysis
from redstave.analysis.page import in_words
from redstave.checks.needs import with_original
from redstave.checks.registry import CannotJudge, Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding
from redstave.model.role import Role
from redstave.original.colours import carried, phrases_of
from redstave.original.places import voice_spot


@check(
    "tune-colour-static",
    Claim.QUESTION,
    sources=("mto", "common-practice"),
    settings=(
        Setting(
            "least_sections",
            3.0,
            "sections",
            "so many sections must have the tune before anything is asked",
            "common-practice",
        ),
        Setting("least_bars", 24.0, "bars", "shorter pieces are left alone", "common-practice"),
    ),
)
def tune_colour_static(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Ask about a tune that stays in the same hands from beginning to end.

    What it reports
        The tune of the piano piece is carried in every section by the same instruments in the same
        octaves.

    Why it matters
        Colour is what the orchestra has and the piano has not. A tune that never changes its
        colour is a piano tune with a longer bow.

    How it is computed
        For each section, or for every eight bars where no sections are marked, the instruments that
        sound at least half of the tones of the tune are noted with their octaves. If these are the
        same everywhere, the question is asked.

    Limits
        A short piece, a hymn, or a brief that asks for one colour may want just that. Changes of
        articulation and level are not seen.

    Sources
        mto: contrast of timbre parts what follows itself. The limits are ours.
    """
    both = with_original(analysis)
    least, found = limits["least_sections"], carried(analysis, (Role.TUNE,), phrases_of(analysis))
    if len(found) < least or len(analysis.score.bars) < limits["least_bars"]:
        raise CannotJudge("the tune is not heard in sections enough to compare")
    hands = found[0].hands
    if not hands or any(one.hands != hands for one in found):
        return
    if names := sorted({analysis.book[name].name for name, _ in hands if name in analysis.book}):
        yield Finding(
            "tune-colour-static",
            (voice_spot(both, 0, len(analysis.score.bars) - 1, (Role.TUNE,)),),
            (
                Evidence("sections with the tune", len(found), "sections", least),
                Evidence("instruments that carry it in all of them", len(names), "instruments"),
            ),
            (("instruments", in_words(name.lower() for name in names)),),
        )
