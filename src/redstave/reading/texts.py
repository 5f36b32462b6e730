"""The texts of notes met so far: each is read once, whatever its pitch and wherever it is drawn."""

import re
from typing import NamedTuple

from redstave.model.score import Attributes
from redstave.reading.blanks import blanked, is_sure, signed
from redstave.reading.parser import ATTRIBUTES_LIMIT
from redstave.reading.parted import EMPTY, NotationsText, is_simple, parted, whole
from redstave.reading.patterns import Pattern, unnumbered, unworded, with_signs
from redstave.reading.steps import BETWEEN, Key, Values
from redstave.reading.told import (
    AsideText,
    AsideTold,
    BarTag,
    Body,
    Gap,
    NextBar,
    PitchText,
    Told,
)

_BEFORE_PITCH = re.compile(r"\s*(?:<(?:(?:chord|cue)\s*|grace(?:\s[^<>]*)?)/>\s*)*<", re.ASCII)
_PITCH_TAG = re.compile(r"</?pitch[\s/>]", re.ASCII)
# Attributes that mean what they say in any encoding and anywhere: no entities, no line breaks.
_PLAIN = re.compile(r'(?: (?!xml)[a-z]+(?:-[a-z]+)*+="[ !#-%\'-;=?-~]*+")*+')
_ATTRIBUTE = re.compile(r' ([a-z-]+)="([^"]*)"')
_DRAWN = re.compile(r' default-x="([-0-9.]++)" default-y="([-0-9.]++)"')


class Halves(NamedTuple):
    """A note's text by which its patterns are known; `inner` is what stands in its notations.

    `inner` is None where they are not told apart; `place` is that of its first blank, `above` tells
    the line breaks before them. Patterns are None where they are new.
    """

    without: Key
    words: Values
    pattern: Pattern | None
    inner: str | None
    place: int
    above: int
    notations: NotationsText | None

    @property
    def is_new(self) -> bool:
        """Whether the parser has to read some of it."""
        return self.pattern is None or (self.inner is not None and self.notations is None)

    def pieces(self) -> Key:
        """Return the text in pieces again, with signs for its words."""
        text = with_signs(self.without)
        return tuple((text if self.inner is None else whole(text, self.inner)).split(BETWEEN))


class Texts:
    """The texts met so far, and the line we are in."""

    def __init__(self) -> None:
        self.line = 1
        self.known: dict[str, Told] = {}  # notes without blanks, by their contents
        self.spaces: dict[str, int] = {}  # nothing between two notes, with its line breaks
        self.next_bars: dict[str, NextBar] = {}
        self.gaps: dict[str, Gap] = {}  # what else stands there
        self.seen: set[str] = set()  # gaps that have been met once
        self._across: dict[str, tuple[str, str]] = {}  # attributes, by their texts
        self._up: dict[str, tuple[str, str]] = {}
        self._own: dict[str, Attributes | None] = {}
        self._bars: dict[str, BarTag | None] = {}
        self._bodies: dict[Key, Body] = {}
        self._pitches: dict[str, PitchText] = {}
        self._directions: dict[Key, AsideTold] = {}
        self._asides: dict[str, AsideTold] = {}
        self._patterns: dict[Key, Pattern] = {}
        self._heads: dict[Key, Pattern] = {}  # of notes whose notations are told apart
        self._notations: dict[tuple[int, str], NotationsText] = {}

    def own(self, text: str) -> Attributes | None:
        """Return the attributes of a tag, None where only the parser can tell them for sure.

        Few places across a page and few heights on it are told again and again, the same in all
        parts: so each is kept once.
        """
        first, _, second = text.partition('" ')
        across, up = self._across.get(first), self._up.get(second)
        if across is not None and up is not None:
            return across, up
        if text in self._own:
            return self._own[text]
        drawn = _DRAWN.fullmatch(text)  # as most notes have
        if drawn is not None:
            x, y = drawn.groups()
            across = self._across.setdefault(first, ("default-x", x))
            return across, self._up.setdefault(second, ("default-y", y))
        self._own[text] = found = _attributes(text)
        return found

    def bar(self, text: str) -> BarTag | None:
        """Return what a bar's tag says, None where only the parser can tell it for sure."""
        if text not in self._bars:
            own = self.own(text)
            self._bars[text] = None if own is None else BarTag.of(own)
        return self._bars[text]

    def direction(self, text: str, line: int) -> tuple[AsideText, str | None]:
        """Take a direction at a line by its text, from behind its name.

        Return it with what the parser has to read of it, if anything.
        """
        key, values = blanked(text)
        told = self._directions.get(key)
        if told is not None:
            return (line, told, values), None
        if not is_sure(key):  # what looks like a blank may be none
            key, values = (text,), ()
        told = self._directions[key] = AsideTold("direction", Pattern())
        return (line, told, values), f"<direction{signed(key)}</direction>"

    def aside(self, name: str, text: str, line: int) -> tuple[AsideText, str | None]:
        """Take another element that stands beside notes by its whole text, as a direction."""
        told = self._asides.get(text)
        if told is not None:
            return (line, told, ()), None
        key, numbers = unnumbered(text) if name == "print" else ((text,), ())
        pattern, unread = self._patterns.get(key), None
        if pattern is None:
            pattern, unread = self._patterns.setdefault(key, Pattern()), with_signs(key)
        told = self._asides[text] = AsideTold(name, pattern, numbers)
        return (line, told, ()), unread

    def find(self, content: str) -> tuple[Told, Values, str | None]:
        """Take a note that is not among the known ones, by its content.

        Return it with the values in its blanks, and what the parser has to read of it, if anything.
        """
        pieces = content.split("pitch>")
        found = self._find_apart(*pieces) if len(pieces) == 3 else None
        told, values, unread = found or self._find_whole(content)
        if not values:
            self.known[content] = told
        return told, values, unread

    def _find_whole(self, content: str) -> tuple[Told, Values, str | None]:
        """Take a note by all of its text."""
        key, values = blanked(content)
        body, unread = self._bodies.get(key), None
        if body is None:
            if not is_sure(key):  # what looks like a blank may be none
                key, values = (content,), ()
            halves = self._halves(BETWEEN.join(key), 0)
            if halves.is_new:
                unread = signed(halves.pieces())
            body = self._bodies[key] = self._body(halves, content.count("\n"))
        return (body, None, body.lines), values, unread

    def _find_apart(
        self, before: str, inner: str, after: str
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
            halves = self._halves(BETWEEN.join(about), 1)
            if pitch is None or halves.is_new:
                if not (_is_apart(before, inner, key) and is_sure((before + key[0], *key[1:]))):
                    return None
                shown = f"pitch>{inner}pitch>" if pitch is None else "pitch/>" + "\n" * breaks
                _, _, first, *others = halves.pieces()
                unread = signed((before + shown + first, *others))
            if body is None:
                above, below = before.count("\n"), after.count("\n")
                body = self._bodies[about] = self._body(halves, above + below, above, breaks)
            if pitch is None:
                pitch = self._pitches[inner] = PitchText(breaks)
        return (body, pitch, body.lines + breaks), values, unread

    def _halves(self, text: str, further: int) -> Halves:
        """Look up the patterns of a note's text; `further` pairs of pieces in it are no blanks."""
        parts = parted(text)
        if parts is not None:
            before, inner, rest = parts
            without, words = unworded(f"{before}{EMPTY}{rest}")
            pattern = self._heads.get(without)
            if pattern is not None or is_simple(before):
                place = before.count(BETWEEN) // 2 - further
                notations = self._notations.get((place, inner))
                above = before.count("\n")
                return Halves(without, words, pattern, inner, place, above, notations)
        without, words = unworded(text)
        return Halves(without, words, self._patterns.get(without), None, 0, 0, None)

    def _body(self, halves: Halves, lines: int, above: int = 0, breaks: int = 0) -> Body:
        """Make a body, with its patterns where they are new; the pitch has so many breaks."""
        without, words, pattern, inner, place, under, notations = halves
        if inner is None:
            pattern = pattern or self._patterns.setdefault(without, Pattern(breaks))
            return Body(lines, above, pattern, words)
        pattern = pattern or self._heads.setdefault(without, Pattern(breaks))
        notations = notations or self._notations.setdefault((place, inner), NotationsText())
        # One break in the key stands for those of the pitch.
        under += pattern.breaks - 1 if breaks else 0
        return Body(lines, above, pattern, words, (notations, under))


def _attributes(text: str) -> Attributes | None:
    if not _PLAIN.fullmatch(text) or text.count("=") > ATTRIBUTES_LIMIT:
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
