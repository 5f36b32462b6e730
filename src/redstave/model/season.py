"""A season and its entries as they are kept: what the store hands out, with no trace of SQL."""

from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple

from redstave.model.remark import Decision, Remark
from redstave.model.review import Review
from redstave.model.teacher import NOTHING_SAID, TeachersWord


class Stage(StrEnum):
    """How far the teacher is with an entry; each stage includes those before it."""

    NEW = "new"
    COMPUTED = "computed"
    READING = "in reading"
    WRITTEN = "written"
    SENT = "sent"


@dataclass(frozen=True, slots=True)
class SeasonFacts:
    """What a season is: its name, whose it is, and what its entries are reviewed under.

    `original` is the SHA-256 of the set piano piece ("" where there is none), `original_ending`
    the ending of its file name. `opened` tells whether names may be shown.
    """

    name: str
    teacher: str = ""
    forces: str = "14.12.10.8.6"
    hall: str = "default"
    seat: str = "stalls"
    tail: bool = False
    players: str = "conservatoire"
    original: str = ""
    original_ending: str = ""
    opened: bool = False


class Version(NamedTuple):
    """One submission of an entry: numbered from 1, its bytes by SHA-256, its file's ending."""

    number: int
    sha256: str
    ending: str


@dataclass(frozen=True, slots=True)
class EntryFacts:
    """One entry, known by its code name. `seconds` is how long the teacher has spent on it."""

    code: str
    versions: tuple[Version, ...]
    stage: Stage = Stage.NEW
    seconds: float = 0.0

    @property
    def newest(self) -> Version:
        """The version that counts."""
        return self.versions[-1]


class SealedName(NamedTuple):
    """The file name under which a version arrived; shown only once the season is opened."""

    code: str
    number: int
    name: str


@dataclass(frozen=True, slots=True)
class KeptReview:
    """A review as it was kept: for which version of which entry, and when (UTC, ISO 8601)."""

    id: int
    code: str
    number: int
    at: str
    review: Review


@dataclass(frozen=True, slots=True)
class KeptRemark:
    """One revision of a remark; `withdrawn` remarks are kept but go into no letter."""

    remark: Remark
    at: str
    by: str = ""
    withdrawn: bool = False


class Judged(NamedTuple):
    """What the teacher decided on a finding, with the reason or the remark it went into."""

    key: str
    slug: str
    decision: Decision
    reason: str = ""
    remark: str = ""
    at: str = ""
    by: str = ""


class Draft(NamedTuple):
    """A text as last typed. `revision` is 0 where nothing was typed yet."""

    field: str
    text: str = ""
    revision: int = 0
    at: str = ""


class Told(NamedTuple):
    """The teacher's word on a version of an entry, and its revision, 0 where there is none."""

    word: TeachersWord = NOTHING_SAID
    revision: int = 0


class SetAside(NamedTuple):
    """A text that was typed over a revision that was no longer the newest: refused, but kept."""

    id: int
    code: str
    field: str
    text: str
    revision: int
    at: str


class LogLine(NamedTuple):
    """Something done that must stay known, such as a grade changed after locking."""

    at: str
    by: str
    code: str
    what: str
    detail: str


class Acceptance(NamedTuple):
    """How often the findings of one check were of use to the teacher, in this season."""

    slug: str
    accepted: int = 0
    reworded: int = 0
    merged: int = 0
    dismissed: int = 0

    @property
    def judged(self) -> int:
        """The findings that the teacher has decided on."""
        return self.accepted + self.reworded + self.merged + self.dismissed

    @property
    def share(self) -> float:
        """The share of them that went into a remark; 0 where none was decided on."""
        return (self.judged - self.dismissed) / self.judged if self.judged else 0.0
