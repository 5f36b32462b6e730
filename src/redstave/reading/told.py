"""What texts tell: each is looked up by its words, and read the first time it is asked for."""

from typing import Any, NamedTuple

from redstave.model.score import Attributes
from redstave.reading.blanks import Plan
from redstave.reading.keeper import Fault
from redstave.reading.note_said import Plain
from redstave.reading.parted import NotationsText
from redstave.reading.patterns import Pattern
from redstave.reading.pitch import Height
from redstave.reading.steps import Values


class PitchText:
    """The text of a pitch with the line breaks in it; its height is None until it is read."""

    __slots__ = ("faults", "height", "lines")

    def __init__(self, lines: int) -> None:
        self.lines = lines
        self.height: Height | None = None
        self.faults: tuple[Fault, ...] = ()


class Body:
    """The text of a note but for its pitch, if that is told apart, with the line breaks in it.

    What it says is None until it is asked for: what its pattern says, with its `words`. A pitch
    begins `above` lines from its start; `plan` tells where there are blanks in what it says.
    `notations` are told apart with the lines above them, or are None.
    """

    __slots__ = ("above", "lines", "notations", "pattern", "plan", "said", "words")

    def __init__(
        self,
        lines: int,
        above: int,
        pattern: Pattern,
        words: Values,
        notations: tuple[NotationsText, int] | None = None,
    ) -> None:
        self.lines = lines
        self.above = above
        self.pattern = pattern
        self.words = words
        self.notations = notations
        self.said: Plain | None = None
        self.plan: Plan | None = None


# The whole text of a note: two that others share, and the line breaks in both.
Told = tuple[Body, PitchText | None, int]
# A note: the line in which its first tag ends, its own attributes, what its text tells, and what
# stands in the blanks of it. Attributes are None where its element has to be asked for them.
NoteText = tuple[int, Attributes | None, Told, Values]


class AsideTold:
    """The text of an aside, by its element's name: what stands in a bar beside its notes.

    What it says is None until it is asked for: what its pattern says, with its `words`; `plan`
    tells where there are blanks in it.
    """

    __slots__ = ("name", "pattern", "plan", "said", "words")

    def __init__(self, name: str, pattern: Pattern, words: Values = ()) -> None:
        self.name = name
        self.pattern = pattern
        self.words = words
        self.said: Any = None
        self.plan: Plan | None = None


# An aside: the line in which its first tag ends, what its text tells, and its blanks.
AsideText = tuple[int, AsideTold, Values]


class BarTag(NamedTuple):
    """What the tag of a bar says; its number is None where it has none."""

    number: str | None
    implicit: bool
    attributes: Attributes

    @classmethod
    def of(cls, attributes: Attributes) -> "BarTag":
        """Return what these attributes say."""
        return cls(dict(attributes).get("number"), ("implicit", "yes") in attributes, attributes)


# What stands between two notes, step by step, and the line breaks in all of it. Of each step, its
# kind, its line counted from above, and an aside with the values in its blanks, or the tag of the
# next bar, or the name and the length of a move.
Step = tuple[int, int, Any, Any]
Gap = tuple[list[Step], int]
ASIDE, TURN, MOVE = range(3)
# What stands between the notes of two bars, if that is no more than their tags: that of the second
# bar, the line breaks before its end, and all of them.
NextBar = tuple[BarTag, int, int]
