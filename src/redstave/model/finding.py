"""What a check says: data, no prose. Sentences are made in `render`."""

from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple


class Claim(StrEnum):
    """How sure a finding may sound."""

    IMPOSSIBLE = "impossible"  # provable from the page
    RISK = "risk"  # a threshold is passed
    QUESTION = "question"  # intention or taste
    CREDIT = "credit"  # something earned


#: How grave a claim is.
SEVERITY = {Claim.CREDIT: 0, Claim.QUESTION: 1, Claim.RISK: 2, Claim.IMPOSSIBLE: 3}


class Evidence(NamedTuple):
    """One measured quantity with its unit and, where there is one, the limit it was held to."""

    quantity: str
    value: float | int | str
    unit: str = ""
    limit: float | int | str | None = None


class Spot(NamedTuple):
    """Where a finding stands: from `bar`/`offset` (ticks) to `last_bar`, on one stave.

    `bar` and `last_bar` index `Score.bars`; `notes` are the ids of the notes in question.
    """

    bar: int
    offset: int
    part: str
    stave: int
    last_bar: int
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Finding:
    """One fault or credit with all its places.

    `facts` are the words a sentence needs; `context` are the ids of parts that belong in the
    picture although nothing is wrong in them (what covers a tune); `claim` is None where the claim
    is that of the check itself.
    """

    slug: str
    spots: tuple[Spot, ...]
    evidence: tuple[Evidence, ...]
    facts: tuple[tuple[str, str], ...] = ()
    claim: Claim | None = None
    context: tuple[str, ...] = ()


class Explains(NamedTuple):
    """One finding explains another: both by their index among the findings of a run.

    `why` is a clause that goes on from "because".
    """

    cause: int
    other: int
    why: str


class NotAssessed(NamedTuple):
    """A check that could not judge, and why (no tempo, unknown instrument, crashed)."""

    slug: str
    reason: str
