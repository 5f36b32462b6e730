"""What was not assessed and what was not found, in the words of the trade.

Checks are called by their titles; those that could not judge are gathered by the reason.
"""

from collections.abc import Iterable
from typing import NamedTuple

from redstave.checks import catalogue
from redstave.model.finding import Claim, NotAssessed
from redstave.render.wording import wordings

MOST_NAMED = 3  # checks with the same reason; more are told by their number


class Unjudged(NamedTuple):
    """Why some checks could not judge, and which, in words: "8 checks"."""

    reason: str
    which: str


def unjudged(missing: Iterable[NotAssessed]) -> tuple[Unjudged, ...]:
    """Return what could not be judged, gathered by reason in the order of the first check."""
    by_reason: dict[str, list[str]] = {}
    for one in missing:
        by_reason.setdefault(one.reason, []).append(one.slug)
    return tuple(Unjudged(_capital(why), _which(slugs)) for why, slugs in by_reason.items())


def not_found(silent: Iterable[str]) -> tuple[str, ...]:
    """Return the titles of the faults that were looked for in vain; praise not earned is not told.

    `silent` are the slugs of checks that ran and found nothing.
    """
    known = catalogue()
    return tuple(
        title_of(slug) for slug in silent if slug in known and known[slug].claim is not Claim.CREDIT
    )


def title_of(slug: str) -> str:
    """Return what a check is called on the page; its slug where there are no words for it."""
    words = wordings().get(slug)
    return words.title if words else slug


def in_a_sentence(title: str) -> str:
    """Return a title as it stands inside a sentence: "an entry without a level"."""
    return title[:1].lower() + title[1:]


def _which(slugs: list[str]) -> str:
    if len(slugs) > MOST_NAMED:
        return f"{len(slugs)} checks"
    return ", ".join(f"“{title_of(slug)}”" for slug in slugs)


def _capital(reason: str) -> str:
    return reason[:1].upper() + reason[1:]
