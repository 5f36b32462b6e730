"""The check `nested-arcs`."""

from collections.abc import Iterator
from itertools import pairwise

from redstave.analysis import Analysis
from redstave.analysis.page import Slurred, slurred, spot
from redstave.analysis.staffing import staffing
from redstave.checks.registry import CannotJudge, Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding
from redstave.model.score import Part

WINDS = frozenset({"woodwind", "brass"})


@check(
    "nested-arcs",
    Claim.QUESTION,
    sources=("pimentel", "common-practice"),
    settings=(
        Setting("least_places", 1.0, "places", "fewer places are left alone", "common-practice"),
    ),
)
def nested_arcs(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Ask what a slur inside a slur means to a wind player.

    What it reports
        Wind parts in which one slur stands wholly under another.

    Why it matters
        To a wind player a slur says where the tongue falls. Two at once say two things; most will
        follow the short ones and wonder about the long one, which looks like a pianist's phrase.

    How it is computed
        The slurs of a voice are ordered by their beginning; one that begins and ends within an
        earlier one, without being the same, is nested.

    Limits
        Some editions print phrase marks over slurs on purpose.

    Sources
        pimentel: nested or ambiguous slurs confuse wind readers. The limit: common practice.
    """
    crew = staffing(analysis.playing)
    winds = [
        part for part in analysis.score.parts if part.id in crew and crew[part.id].family in WINDS
    ]
    if not winds:
        raise CannotJudge("no part was recognised as a wind instrument")
    for part in winds:
        nested = list(_nested(analysis, part))
        if len(nested) >= limits["least_places"]:
            yield Finding(
                "nested-arcs",
                tuple(spot(part, one.chords) for one in nested),
                (Evidence("slurs under another slur", len(nested), "slurs"),),
            )


def _nested(analysis: Analysis, part: Part) -> Iterator[Slurred]:
    """Yield the outer slur of each nested pair, once."""
    ordered = sorted(
        (one for one in slurred(analysis.score, part) if one.chords),
        key=lambda one: (one.chords[0].voice, one.chords[0].start, -one.chords[-1].start),
    )
    seen: set[str] = set()
    for outer, inner in pairwise(ordered):
        same_voice = outer.chords[0].voice == inner.chords[0].voice
        within = inner.chords[-1].start <= outer.chords[-1].start
        longer = len(inner.chords) < len(outer.chords)
        if same_voice and within and longer and outer.span.id not in seen:
            seen.add(outer.span.id)
            yield outer
