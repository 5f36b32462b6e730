"""The order of a letter: kinds of claim, below them kinds of remark, below those the places.

The same fault at forty places is taught once: its first places are shown in full, the others are
listed. Every remark keeps its anchor, shown or listed.
"""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from redstave.model.finding import Claim
from redstave.render.view import RemarkView, ReviewView

MOST_SHOWN = 2  # places of one kind set out with excerpt and evidence

HEADINGS = (
    (Claim.IMPOSSIBLE, "Impossible as written", "These can be shown from the page alone."),
    (Claim.RISK, "Risks", "A limit is passed; the players or the hall may prove it wrong."),
    (Claim.QUESTION, "Questions", "Nobody but you knows the answer."),
)


class Kind(NamedTuple):
    """All remarks of one check under one claim; `number` is "" for what works."""

    anchor: str
    number: str
    title: str
    shown: tuple[RemarkView, ...]
    listed: tuple[RemarkView, ...]
    sources: tuple[str, ...]

    @property
    def total(self) -> int:
        """How many remarks there are, shown or listed."""
        return len(self.shown) + len(self.listed)


class Section(NamedTuple):
    """One kind of claim with its heading, a word on what it means, and its kinds of remark."""

    claim: str
    heading: str
    note: str
    kinds: tuple[Kind, ...]


def sections(view: ReviewView) -> tuple[Section, ...]:
    """Return the sections that have something to say, numbered through."""
    found: list[Section] = []
    number = 1
    for claim, heading, note in HEADINGS:
        kinds = tuple(_kinds(view.of_claim(claim), number))
        number += len(kinds)
        if kinds:
            found.append(Section(claim.value, heading, note, kinds))
    return tuple(found)


def works(view: ReviewView) -> tuple[Kind, ...]:
    """Return what was earned, kind by kind, without numbers."""
    return tuple(kind._replace(number="") for kind in _kinds(view.credits, 1))


def _kinds(remarks: Sequence[RemarkView], first: int) -> Iterator[Kind]:
    by_slug: dict[str, list[RemarkView]] = {}
    for remark in remarks:
        by_slug.setdefault(remark.slug, []).append(remark)
    for number, (slug, members) in enumerate(by_slug.items(), first):
        head = members[0]
        yield Kind(
            f"{head.claim.value}-{slug}",
            str(number),
            head.words.title,
            tuple(members[:MOST_SHOWN]),
            tuple(members[MOST_SHOWN:]),
            head.sources,
        )
