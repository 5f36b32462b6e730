"""Notes whose notations are told apart from the rest: each half is read once.

What stands on notes, slurs and accents, comes on every kind of note; there are fewer kinds of both
than of notes that have them.
"""

import re
from typing import NamedTuple

from redstave.reading.blanks import Plan
from redstave.reading.keeper import Act
from redstave.reading.note_said import Plain
from redstave.reading.steps import WHITE
from redstave.reading.ties import Tied

# What may stand before notations in a note that is parted: nothing that hangs on the note itself.
_SIMPLE = frozenset(
    [
        *("accidental", "beam", "chord", "cue", "dot", "duration", "grace", "instrument"),
        *("notehead", "staff", "stem", "tie", "type", "voice"),
        *("rest", "unpitched", "display-octave", "display-step"),
        *("time-modification", "actual-notes", "normal-notes", "normal-type", "normal-dot"),
    ]
)
_NAME = re.compile(r"<([^\s/>\0]+)")
EMPTY = "<notations/>"
_BEGIN, _END = "<notations>", "</notations>"


class NotationsSaid(NamedTuple):
    """What notations say; lines and paths count from theirs.

    `starts` and `stops` are of ties.
    """

    starts: tuple[Tied, ...]
    stops: tuple[Tied, ...]
    acts: tuple[Act, ...]


class NotationsText:
    """The text of notations: what it says, None until it is read, and where blanks are in it."""

    __slots__ = ("plan", "said")

    def __init__(self) -> None:
        self.said: NotationsSaid | None = None
        self.plan: Plan | None = None


def parted(text: str) -> tuple[str, str, str] | None:
    """Return the text of a note before its notations, in them and behind them.

    None if they must not be told apart.
    """
    before, _, behind = text.partition(_BEGIN)
    inner, end, rest = behind.partition(_END)
    if not end or rest.strip(WHITE) or "notations" in inner or "let-ring" in inner:
        return None
    return before, inner, rest


def is_simple(before: str) -> bool:
    """Whether nothing stands before notations that hangs on the note itself."""
    return _SIMPLE.issuperset(_NAME.findall(before))


def whole(text: str, inner: str) -> str:
    """Return the text of a note with its notations."""
    return text.replace(EMPTY, f"{_BEGIN}{inner}{_END}")


def joined(note: Plain, notations: NotationsSaid, under: int) -> Plain:
    """Return what a note says with its notations, which begin so many lines under it."""
    height, length, stave, voice, fields, names, details, inside, ends, _, faults = note
    path = f".{names.index('notations') + 1}"
    starts = tuple([Tied(path + tied.path, tied.attributes) for tied in notations.starts])
    stops = tuple([Tied(path + tied.path, tied.attributes) for tied in notations.stops])
    if starts or stops:
        *others, starts_tie, stops_tie = fields[:8]
        fields = (*others, starts_tie or bool(starts), stops_tie or bool(stops), *fields[8:])
        unprinted = ends or ((), ())
        ends = starts or unprinted[0], stops or unprinted[1]
    acts = tuple(
        [(said, below + under, path + further, holes) for said, below, further, holes in
         notations.acts]
    )  # fmt: skip
    return height, length, stave, voice, fields, names, details, inside, ends, acts, faults


def both(note: Plan | None, notations: Plan | None) -> Plan | None:
    """Return where blanks are in a note that has both halves."""
    if note is None or notations is None:
        return note or notations
    return Plan(note.inside, note.others + notations.others)
