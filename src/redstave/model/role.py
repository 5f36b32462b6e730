"""What a line is there for, and the teacher's word on it."""

from dataclasses import dataclass
from enum import StrEnum


class Role(StrEnum):
    """What a strand does in the texture while it sounds."""

    TUNE = "tune"  # what a listener is meant to follow
    COUNTER = "counter"  # a second tune against it
    BASS = "bass"  # the lowest voice
    INNER = "inner"  # what fills the harmony
    FIGURE = "figure"  # a pattern that goes on: broken chords, repeated notes, tremolo
    PEDAL = "pedal"  # one pitch, held or repeated while others move


@dataclass(frozen=True, slots=True)
class RoleOverride:
    """The teacher's word: `line` (its id) has this role in bars `first` to `last` (indices)."""

    line: str
    first: int
    last: int
    role: Role
