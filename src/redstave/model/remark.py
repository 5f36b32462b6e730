"""The teacher's words at a place, and what became of each finding."""

from dataclasses import dataclass
from enum import StrEnum
from hashlib import sha256
from typing import NamedTuple

from redstave.model.finding import Finding, Spot


class RemarkKind(StrEnum):
    """What a remark does."""

    PRAISE = "praise"
    QUESTION = "question"
    WAY_OUT = "way-out"  # a proposal: it could be done otherwise
    FIX = "fix"  # it cannot stay as it is


class Weight(StrEnum):
    """Whether a remark is one of the few that matter most, or belongs to the list by bar."""

    MAIN = "main"
    SMALL = "small"


class Decision(StrEnum):
    """What the teacher did with a finding; OPEN until he has."""

    OPEN = "open"
    ACCEPTED = "accepted"
    REWORDED = "reworded"
    MERGED = "merged"
    DISMISSED = "dismissed"


class Heard(NamedTuple):
    """One row of a trial's before and after: who, margins in dB with uncertainty, states."""

    who: str
    before_db: float
    after_db: float
    sigma_db: float
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class LinkedTrial:
    """A trial that a remark shows: the changes in words and what the hall hears before and after.

    `changes` is the text of the file of changes, so that the trial can be run again.
    """

    changes: str
    words: tuple[str, ...]
    heard: tuple[Heard, ...]


@dataclass(frozen=True, slots=True)
class Remark:
    """One remark on one entry.

    `spots` say where (none: the whole piece); `place` is the same in words. `finding` is the key of
    the finding it came from, "" for the teacher's own; `slug` its check. `order` sorts remarks of
    equal weight; `revision` counts how often it was changed; `version` is the version of the entry
    whose bars it speaks of.
    """

    id: str
    kind: RemarkKind
    text: str
    spots: tuple[Spot, ...] = ()
    place: str = ""
    why: str = ""
    way_out: str = ""
    criterion: str = ""
    weight: Weight = Weight.SMALL
    order: int = 0
    finding: str = ""
    slug: str = ""
    trial: LinkedTrial | None = None
    revision: int = 1
    version: int = 1


def finding_key(finding: Finding) -> str:
    """Return a name for a finding that a second run of the same review gives it again.

    It depends on the check and the places, not on the evidence, so that a moved threshold keeps
    the teacher's decision.
    """
    places = ";".join(
        f"{spot.part}.{spot.stave}.{spot.bar}.{spot.offset}-{spot.last_bar}"
        for spot in finding.spots
    )
    return sha256(f"{finding.slug}|{places}".encode()).hexdigest()[:16]
