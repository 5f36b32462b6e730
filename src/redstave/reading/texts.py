"""The texts of notes met so far: each is read once, whatever its pitch and wherever it is drawn."""

import re
from typing import NamedTuple

from redstave.model.score import Attributes
from redstave.reading.blanks import NO_PLAN, Key, Values, blanked, signed
from redstave.reading.keeper import Act, Fault, Place
from redstave.reading.note_said import NoteSaid, Ready
from redstave.reading.pitch import PitchSaid

_BEFORE_PITCH = re.compile(r"\s*(?:<(?:(?:chord|cue)\s*|grace(?:\s[^<>]*)?)/>\s*)*<", re.ASCII)
_PITCH_TAG = re.compile(r"</?pitch[\s/>]", re.ASCII)
# Attributes that mean what they say in any encoding and anywhere: no entities, no line breaks.
_PLAIN = re.compile(r'(?: (?!xml)[a-z]+(?:-[a-z]+)*+="[ !#-%\'-;=?-~]*+")*+')
_ATTRIBUTE = re.compile(r' ([a-z-]+)="([^"]*)"')
_DRAWN = re.compile(r' default-x="([-0-9.]++)" default-y="([-0-9.]++)"')


class PitchText:
    """The text of a pitch with the line breaks in it; what it says is None until it is read."""

    __slots__ = ("lines", "said")

    def __init__(self, lines: int) -> None:
        self.lines = lines
        self.said: PitchSaid | None = None


class Body:
    """The text of a note but for its pitch, if that is told apart, `above` lines from its start.

    What it says is None until it is read; `plan` tells where there are signs in it.
    """

    __slots__ = ("above", "plan", "said")

    def __init__(self, above: int) -> None:
        self.above = above
        self.said: NoteSaid | None = None
        self.plan = NO_PLAN


class Told:
    """The whole text of a note with the line breaks in it, made of two that others share."""

    __slots__ = ("body", "lines", "pitch", "ready")

    def __init__(self, lines: int, body: Body, pitch: PitchText | None) -> None:
        self.lines = lines
        self.body = body
        self.pitch = pitch
        self.ready: Ready | None = None


# A note: the line in which its first tag ends, its own attributes, what its text tells, and what
# stands in the blanks of it. Attributes are None where its element has to be asked for them.
NoteText = tuple[int, Attributes | None, Told, Values]


class DirectionSaid(NamedTuple):
    """What a direction says, wherever it stands; lines and paths count from its own.

    `moved` is the text of its `<offset>` with its line, None without one; `shows` tells whether it
    says anything, `place` gives its stave and voice, `faults` are its problems.
    """

    moved: tuple[str | None, int] | None
    shows: bool
    place: Place
    acts: tuple[Act, ...]
    faults: tuple[Fault, ...]

    @property
    def open(self) -> tuple[object, ...]:
        """What attributes are kept in, set out like that of a note."""
        return (), (), None, self.acts, self.faults


class DirectionTold:
    """The text of a direction: what it says, None until it is read, and where signs stand in it."""

    __slots__ = ("plan", "said")

    def __init__(self) -> None:
        self.said: DirectionSaid | None = None
        self.plan = NO_PLAN


class DirectionText(NamedTuple):
    """A direction: the line in which its first tag ends, what its text tells, and its blanks."""

    line: int
    told: DirectionTold
    values: Values


def own_attributes(text: str) -> Attributes | None:
    """Return the attributes of a tag, None where only the parser can tell them for sure."""
    drawn = _DRAWN.fullmatch(text)  # as most notes have
    if drawn is not None:
        x, y = drawn.groups()
        return ("default-x", x), ("default-y", y)
    if not _PLAIN.fullmatch(text):
        return None
    found = tuple(_ATTRIBUTE.findall(text))
    return found if len(dict(found)) == len(found) else None


class Texts:
    """The texts met so far, and the line we are in."""

    def __init__(self) -> None:
        self.line = 1
        self.known: dict[str, Told] = {}  # by their contents: the notes without blanks
        self._blanked: dict[Key, Told] = {}  # the others
        self._bodies: dict[Key, Body] = {}
        self._pitches: dict[str, PitchText] = {}
        self._directions: dict[Key, DirectionTold] = {}

    def direction(self, text: str, line: int) -> tuple[DirectionText, str]:
        """Take a direction at a line by its text, from behind its name.

        Return it with what the parser has to read: all of it where it is new, else an empty one
        with its line breaks behind it.
        """
        key, values = blanked(text)
        told = self._directions.get(key)
        if told is not None:
            return DirectionText(line, told, values), "<direction/>" + "\n" * text.count("\n")
        unread = signed(text) if values else text
        if unread is None:  # what looks like a blank may be none
            key, values, unread = (text,), (), text
        told = self._directions[key] = DirectionTold()
        return DirectionText(line, told, values), f"<direction{unread}</direction>"

    def find(self, content: str) -> tuple[Told, Values, str | None]:
        """Take a note that is not among the known ones, by its content.

        Return it with the values in its blanks, and what the parser has to read of it, if anything.
        """
        key, values = blanked(content)
        told = self._blanked.get(key) if values else None
        if told is not None:
            return told, values, None
        about, inner = _apart(key)
        body = self._bodies.get(about)
        pitch = None if inner is None else self._pitches.get(inner)
        if inner is not None and (body is None or pitch is None) and not _is_apart(about, inner):
            about, inner, body, pitch = key, None, self._bodies.get(key), None
        unread = None
        if body is None or (pitch is None and inner is not None):
            unread = signed(content) if values else content
            if unread is None:  # what looks like a blank may be none
                told = self.known[content] = Told(content.count("\n"), Body(0), None)
                return told, (), content
            if body is None:
                body = self._bodies[about] = Body(0 if inner is None else about[0].count("\n"))
            if inner is not None and pitch is None:
                pitch = self._pitches[inner] = PitchText(inner.count("\n"))
        told = Told(content.count("\n"), body, pitch)
        if values:
            self._blanked[key] = told
        else:
            self.known[content] = told
        return told, values, unread


def _apart(key: Key) -> tuple[Key, str | None]:
    """Tell a note's pitch apart; return what else the note is known by, and the pitch.

    It is known by what stands before and behind, and by the number of lines between, so that its
    own lines can be counted from it.
    """
    text, *others = key
    pieces = text.split("pitch>")
    if len(pieces) != 3:
        return key, None
    before, inner, after = pieces
    return (before, "\n" * inner.count("\n"), after, *others), inner


def _is_apart(about: Key, inner: str) -> bool:
    """Whether what holds no marks stands before a pitch, and nothing but one pitch between."""
    before, _, *behind = about
    return (
        inner.endswith("</")
        and _BEFORE_PITCH.fullmatch(before) is not None
        and not any(map(_has_pitch, (inner[:-2], *behind)))
    )


def _has_pitch(text: str) -> bool:
    return "pitch" in text and _PITCH_TAG.search(text) is not None
