"""A second version of an entry beside the first: bars, changes, and what became of the remarks."""

from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple

from redstave.model.match import NO_BAR
from redstave.model.remark import Remark


class BarPair(NamedTuple):
    """A bar of the earlier version beside one of the later (indices; NO_BAR where there is none).

    `alike` is how much of them is the same, 0 to 1; `parts` are the parts in which anything differs
    (ids of the later version).
    """

    before: int
    after: int
    alike: float
    parts: tuple[str, ...] = ()

    @property
    def changed(self) -> bool:
        """Whether a player would notice a difference, in what is written for him, in this bar."""
        return bool(self.parts) or NO_BAR in (self.before, self.after)


class Outcome(StrEnum):
    """What a second version has made of a remark."""

    ANSWERED = "answered"  # what it was about is no longer found
    REMAINS = "remains"  # it still is
    LOOK = "look"  # the teacher's own remark, and its place was changed: only he can tell
    KEPT = "kept"  # praise, or a remark of his own, whose place is as it was
    GONE = "gone"  # its bars are no longer there


class Followed(NamedTuple):
    """A remark on the earlier version and what became of it.

    `now` is the remark at its place in the later version, None where that is gone; `key` is the
    finding of the later version that it is still about, "" for none.
    """

    remark: Remark
    outcome: Outcome
    now: Remark | None
    key: str = ""


@dataclass(frozen=True, slots=True)
class Comparison:
    """Two versions of one entry side by side.

    `same` pairs the keys of findings that stayed; `answered` and `new` are the keys of findings
    that went and that came. `unsaid` is what the teacher has said of the earlier version that could
    not be taken along, because its bars or its players are gone.
    """

    before: int
    after: int
    bars: tuple[BarPair, ...]
    remarks: tuple[Followed, ...]
    same: tuple[tuple[str, str], ...]
    answered: tuple[str, ...]
    new: tuple[str, ...]
    unsaid: tuple[str, ...] = ()

    @property
    def changed(self) -> tuple[BarPair, ...]:
        """The bars in which anything differs."""
        return tuple(pair for pair in self.bars if pair.changed)
