"""The texts of notes met so far: each is read once, whatever its pitch and wherever it is drawn."""

import re
from typing import NamedTuple

from redstave.model.score import Attributes
from redstave.reading.blanks import Key, Plan, Values, blanked, signed
from redstave.reading.keeper import Act, Fault, Place
from redstave.reading.note_said import Plain
from redstave.reading.pitch import Height

_BEFORE_PITCH = re.compile(r"\s*(?:<(?:(?:chord|cue)\s*|grace(?:\s[^<>]*)?)/>\s*)*<", re.ASCII)
_PITCH_TAG = re.compile(r"</?pitch[\s/>]", re.ASCII)
# Attributes that mean what they say in any encoding and anywhere: no entities, no line breaks.
_PLAIN = re.compile(r'(?: (?!xml)[a-z]+(?:-[a-z]+)*+="[ !#-%\'-;=?-~]*+")*+')
_ATTRIBUTE = re.compile(r' ([a-z-]+)="([^"]*)"')
_DRAWN = re.compile(r' default-x="([-0-9.]++)" default-y="([-0-9.]++)"')


class PitchText:
    """The text of a pitch with the line breaks in it; its height is None until it is read."""

    __slots__ = ("faults", "height", "lines")

    def __init__(self, lines: int) -> None:
        self.lines = lines
        self.height: Height | None = None
        self.faults: tuple[Fault, ...] = ()


class Body:
    """The text of a note but for its pitch, if that is told apart, with the line breaks in it.

    What it says is None until it is read, with a pitch that begins `above` lines from its start and
    has so many `breaks`; `plan` tells where there are signs in it.
    """

    __slots__ = ("above", "breaks", "lines", "plan", "said")

    def __init__(self, lines: int, above: int = 0, breaks: int = 0) -> None:
        self.lines = lines
        self.above = above
        self.breaks = breaks
        self.said: Plain | None = None
        self.plan: Plan | None = None


# The whole text of a note: two that others share, and the line breaks in both.
Told = tuple[Body, PitchText | None, int]
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
        self.plan: Plan | None = None


# A direction: the line in which its first tag ends, what its text tells, and its blanks.
DirectionText = tuple[int, DirectionTold, Values]


class Texts:
    """The texts met so far, and the line we are in."""

    def __init__(self) -> None:
        self.line = 1
        self.known: dict[str, Told] = {}  # notes without blanks, by their contents
        self._across: dict[str, tuple[str, str]] = {}  # attributes, by their texts
        self._up: dict[str, tuple[str, str]] = {}
        self._own: dict[str, Attributes | None] = {}
        self._bodies: dict[Key, Body] = {}
        self._pitches: dict[str, PitchText] = {}
        self._directions: dict[Key, DirectionTold] = {}

    def own(self, text: str) -> Attributes | None:
        """Return the attributes of a tag, None where only the parser can tell them for sure.

        Few places across a page and few heights on it are told again and again, the same in all
        parts: so each is kept once.
        """
        first, _, second = text.partition('" ')
        across, up = self._across.get(first), self._up.get(second)
        if across is not None and up is not None:
            return across, up
        drawn = _DRAWN.fullmatch(text)  # as most notes have
        if drawn is not None:
            x, y = drawn.groups()
            across = self._across.setdefault(first, ("default-x", x))
            return across, self._up.setdefault(second, ("default-y", y))
        if text not in self._own:
            self._own[text] = _attributes(text)
        return self._own[text]

    def direction(self, text: str, line: int) -> tuple[DirectionText, str | None]:
        """Take a direction at a line by its text, from behind its name.

        Return it with what the parser has to read of it, if anything.
        """
        key, values = blanked(text)
        told = self._directions.get(key)
        if told is not None:
            return (line, told, values), None
        unread = signed(key) if values else text
        if unread is None:  # what looks like a blank may be none
            key, values, unread = (text,), (), text
        told = self._directions[key] = DirectionTold()
        return (line, told, values), f"<direction{unread}</direction>"

    def find(self, content: str) -> tuple[Told, Values, str | None]:
        """Take a note that is not among the known ones, by its content.

        Return it with the values in its blanks, and what the parser has to read of it, if anything.
        """
        pieces = content.split("pitch>")
        if len(pieces) == 3:
            found = self._find_apart(content, *pieces)
            if found is not None:
                return found
        key, values = blanked(content)
        body, unread = self._bodies.get(key), None
        if body is None:
            unread = signed(key) if values else content
            if unread is None:  # what looks like a blank may be none
                key, values, unread = (content,), (), content
            body = self._bodies[key] = Body(content.count("\n"))
        told = body, None, body.lines
        if not values:
            self.known[content] = told
        return told, values, unread

    def _find_apart(
        self, content: str, before: str, inner: str, after: str
    ) -> tuple[Told, Values, str | None] | None:
        """Take a note by what stands around its pitch and in it; None if that must not be parted.

        Where a pitch has line breaks, however many, what stands behind it has them above.
        """
        key, values = blanked(after)
        pitch = self._pitches.get(inner)
        breaks = inner.count("\n") if pitch is None else pitch.lines
        about = before, "\n" if breaks else "", *key
        body, unread = self._bodies.get(about), None
        if body is None or pitch is None:
            if not _is_apart(before, inner, key):
                return None
            shown = f"pitch>{inner}pitch>" if pitch is None else "pitch/>" + "\n" * breaks
            whole = before + shown + key[0], *key[1:]
            unread = signed(whole) if values else whole[0]
            if unread is None:
                return None
            if body is None:
                above, below = before.count("\n"), after.count("\n")
                body = self._bodies[about] = Body(above + below, above, breaks)
            if pitch is None:
                pitch = self._pitches[inner] = PitchText(breaks)
        told = body, pitch, body.lines + breaks
        if not values:
            self.known[content] = told
        return told, values, unread


def _attributes(text: str) -> Attributes | None:
    if not _PLAIN.fullmatch(text):
        return None
    found = tuple(_ATTRIBUTE.findall(text))
    return found if len(dict(found)) == len(found) else None


def _is_apart(before: str, inner: str, key: Key) -> bool:
    """Whether what holds no marks stands before a pitch, and nothing but one pitch between."""
    return (
        inner.endswith("</")
        and _BEFORE_PITCH.fullmatch(before) is not None
        and not any(map(_has_pitch, (inner[:-2], *key)))
    )


def _has_pitch(text: str) -> bool:
    return "pitch" in text and _PITCH_TAG.search(text) is not None
