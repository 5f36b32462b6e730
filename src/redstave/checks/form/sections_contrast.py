"""The credit `sections-contrast`."""

from collections.abc import Iterator

from redstave.analysis import Analysis
from redstave.analysis.page import in_words
from redstave.analysis.sections import Section
from redstave.analysis.spots import bars_spot
from redstave.checks.registry import CannotJudge, Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding
from redstave.original.form import begun_only, form_of, sections_of


@check(
    "sections-contrast",
    Claim.CREDIT,
    sources=("mto", "common-practice"),
    settings=(
        Setting(
            "least_distance",
            0.25,
            "cosine distance",
            "neighbouring sections whose colours lie at least this far apart sound new",
            "common-practice",
        ),
    ),
)
def sections_contrast(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Praise new sections that are scored in new colours.

    What it reports
        The sections whose instruments differ clearly from those of the section before.

    Why it matters
        A listener hears form through colour: a new section that sounds new is understood at once.

    How it is computed
        The page is cut at rehearsal letters, double bars, new keys and new tempi, and where the
        piano original is known, also where its music returns. For each section the share of time in
        which each instrument sounds is a vector; the distance of two neighbours is one minus the
        cosine between them.

    Limits
        Only who plays is compared, not how: a change of register, articulation or level alone is
        not seen. Without marked sections nothing can be said. Where the piano original shows that
        a section is only begun, its emptiness is no contrast.

    Sources
        Contrast between successive blocks as what makes a boundary: McAdams, Goodchild and Soden
        2022. The measure and its limit are ours (common practice, no source).
    """
    if len(sections_of(analysis)) < 2:
        raise CannotJudge(
            "the page marks no sections (rehearsal letters, double bars, new keys or tempi)"
        )
    if analysis.slices.start.size == 0:
        raise CannotJudge("no instrument that plays in this score is known")
    found = form_of(analysis)
    begun = begun_only(analysis)
    new = [
        (turn.distance, here.section)
        for turn, here in zip(found.turns, found.sections[1:], strict=True)
        if turn.distance >= limits["least_distance"]
        and not begun & set(range(here.section.first, here.section.last + 1))
    ]
    if new:
        yield _finding(analysis, new, len(found.turns), limits)


def _finding(
    analysis: Analysis, new: list[tuple[float, Section]], borders: int, limits: Limits
) -> Finding:
    bars = analysis.score.bars
    names = (f"{bars[one.first].number}–{bars[one.last].number}" for _, one in new)
    return Finding(
        "sections-contrast",
        tuple(bars_spot(analysis, one.first, one.last) for _, one in new),
        (
            Evidence("sections in new colours", len(new), "sections"),
            Evidence("borders between sections", borders, "borders"),
            Evidence(
                "greatest distance of colours from the section before",
                round(max(distance for distance, _ in new), 2),
                "cosine distance",
                limits["least_distance"],
            ),
        ),
        (("sections", in_words(names)),),
    )
