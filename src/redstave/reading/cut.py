"""The text of one part, cut into its bars and notes.

What the parser has to read is left to it. The others stand in its tree for what has gone: a note
for those right behind it whose texts are known, a bar for those right behind it that hold nothing
else than what is known. Their line breaks are left too, so that every line keeps its number.
"""

import re
from functools import lru_cache
from typing import NamedTuple

from redstave.reading.steps import WHITE, Values
from redstave.reading.texts import Texts
from redstave.reading.told import (
    ASIDE,
    MOVE,
    TURN,
    AsideText,
    BarTag,
    Gap,
    NoteText,
    Step,
)

_SPACE = rf"[{WHITE}]*"
_BAR = rf'{_SPACE}<measure( [^<>]*")>'
_BEGIN_OF_BAR = re.compile(_BAR)
_MOVE = rf"<(backup|forward)>{_SPACE}<duration>([0-9]++)</duration>{_SPACE}</"
_MOVES = re.compile(rf"(?:{_SPACE}{_MOVE}\1>)++{_SPACE}")
_ONE_MOVE = re.compile(_MOVE)
_ASIDE = re.compile(
    r"<(attributes|barline|print)(| [^<>]*?)(/>|>(?:[^<]++|<(?!/\1>))*+</\1>)"
)  # what stands beside notes, but directions
_NOTE = re.compile(r"<note[ >]")
_END_OF_NOTE, _END_OF_BAR, _END_OF_DIRECTION = "</note>", "</measure>", "</direction>"
_NAME_ENDS = frozenset(["", " "])
NO_VALUES: Values = ()
NO_TAG = "<!---->"  # stands for a comment


class UnsureError(Exception):
    """The text of a file does not tell for sure what stands in its bars."""


class Move(NamedTuple):
    """A `<backup>` or `<forward>`, by its name, that says how long it is, and no more."""

    name: str
    duration: str
    line: int


Item = list[NoteText] | AsideText | Move
# What a bar holds: the line in which its tag ends, what that says (None where its element has to be
# asked for both), and its items in the order of the file. Notes stand in runs: of each, the first
# has an element in the tree, if the bar has one. Moves are told only in bars that have none.
BarText = tuple[int, BarTag | None, list[Item]]


class PartText:
    """A part cut into its bars; `left` is what is left of it for the parser.

    `bars` are those that have an element in the tree, each with those that it stands for.
    """

    def __init__(self, part: str, texts: Texts) -> None:
        self.bars: list[list[BarText]] = []
        self._texts = texts
        self._items: list[Item] = []  # of the bar
        self._line = 0
        self._tag: BarTag | None = None
        self._is_held = False  # whether nothing of the bar is left to the parser so far
        self._left: list[str] = []
        self._reached = texts.line  # the line in which ends what is left so far
        *pieces, rest = part.split(_END_OF_NOTE)
        self._begun = part.find("<measure")
        if (
            self._begun < 0
            or _NOTE.search(part, 0, self._begun)
            or _END_OF_BAR in part[: self._begun]
        ):
            raise UnsureError
        self._cut(pieces)
        self._between(rest, [])
        if self._items:  # behind the last bar, where nobody reads them
            raise UnsureError
        self._leave("", texts.line, texts.line)
        self.left = "".join(self._left)

    def _cut(self, pieces: list[str]) -> None:
        """Take the notes that these pieces end with."""
        texts, known = self._texts, self._texts.known
        spaces, next_bars = texts.spaces, texts.next_bars
        line, run = texts.line, list[NoteText]()
        for piece in pieces:
            space, tag, rest = piece.partition("<note")
            attributes, _, content = rest.partition(">")
            is_note = tag != "" and attributes[:1] in _NAME_ENDS
            follows = is_note and space in spaces
            if follows:
                line += spaces[space]
            elif is_note and space in next_bars:
                bar, above, breaks = next_bars[space]
                self._next_bar(line + above, bar)
                line += breaks
            else:
                if not is_note:
                    space, attributes, content = _note_in(piece)
                line = self._elsewhere(space, line)
            own = texts.own(attributes) if attributes else ()
            if own is None:
                line += line_breaks(attributes)
            told, values, unread = known.get(content), NO_VALUES, None
            if told is None:
                told, values, unread = texts.find(content)
            note = line, own, told, values
            if unread is not None or own is None:
                self._leave_note(note, attributes, unread)
                follows = False
            elif not (follows or self._is_held):
                self._left.append("<note/>")
            if follows:
                run.append(note)
            else:
                self._items.append(run := [note])
            line += told[2]
        texts.line = line

    def _leave_note(self, note: NoteText, attributes: str, unread: str | None) -> None:
        """Leave a note to the parser, but for what of it is known."""
        line, own, told, _ = note
        self._catch_up()
        tag = "<note" if own is not None else f"<note{attributes}"
        text = f"{tag}/>" if unread is None else f"{tag}>{unread}{_END_OF_NOTE}"
        above = 0 if own is not None else attributes.count("\n")
        self._leave(text, line - above, line if unread is None else line + told[2])

    def _leave(self, text: str, line: int, end: int) -> None:
        """Leave a text to the parser that goes from a line to another one.

        A space behind it tells the parser the line of what is empty, beyond those that it counts.
        """
        if line > self._reached:
            self._left.append("\n" * (line - self._reached))
        self._left += text, " "
        self._reached = end

    def _elsewhere(self, space: str, line: int) -> int:
        """Look at what stands before a note, from a line on; return the note's line."""
        texts, steps = self._texts, list[Step | None]()
        if space in texts.gaps:
            return self._go_over(texts.gaps[space], line)
        texts.line = line
        self._between(space, steps)
        breaks = texts.line - line
        if not space.strip(WHITE):
            texts.spaces[space] = breaks
        elif len(steps) == 1 and steps[0] is not None and steps[0][0] == TURN:
            _, end, tag, _ = steps[0]
            texts.next_bars[space] = tag, end - line, breaks
        elif None not in steps:
            if space in texts.seen:
                texts.gaps[space] = [(s[0], s[1] - line, s[2], s[3]) for s in steps if s], breaks
            texts.seen.add(space)
        return texts.line

    def _go_over(self, gap: Gap, line: int) -> int:
        """Go over what stands before a note, met twice before; return the note's line."""
        steps, breaks = gap
        for kind, below, one, other in steps:
            if kind == ASIDE:
                if not self._is_held:
                    self._left.append(f"<{one.name}/>")
                self._items.append((line + below, one, other))
            elif kind == TURN:
                self._next_bar(line + below, one)
            else:
                self._move(Move(one, other, line + below))
        return line + breaks

    def _next_bar(self, line: int = 0, tag: BarTag | None = None) -> None:
        """Go to the next bar.

        Where its line and its tag are known, nothing of it is left to the parser unless that
        must be.
        """
        bar = self._line, self._tag, self._items
        if self._is_held:
            self.bars[-1].append(bar)
        else:
            self._left.append(_END_OF_BAR)
            self.bars.append([bar])
        self._line, self._tag, self._items = line, tag, []
        self._is_held = tag is not None

    def _catch_up(self) -> None:
        """Leave to the parser what was held."""
        if self._is_held:
            self._is_held = False
            self._left.append("<measure>")
            held, self._items = self._items, []
            for item in held:
                if isinstance(item, Move):
                    self._move(item)
                else:
                    self._left.append("<note/>" if isinstance(item, list) else f"<{item[1].name}/>")
                    self._items.append(item)

    def _move(self, move: Move) -> None:
        """Take a move, or leave it to the parser."""
        if self._is_held:
            self._items.append(move)
        else:
            name, duration, line = move
            self._leave(f"<{name}><duration>{duration}</duration></{name}>", line, line)

    def _between(self, text: str, steps: list[Step | None]) -> None:
        """Look at what stands between two notes, or before or behind them, and go behind it.

        The steps of this are added; None for one that may not be taken again by itself.
        """
        skip, self._begun = self._begun, 0
        line = self._texts.line
        self._texts.line += text.count("\n")
        if skip:
            above = text.count("\n", 0, skip)
            self._leave(text[:skip], line, line + above)
            line += above
        end, *bars = text[skip:].split(_END_OF_BAR)
        self._look(end, line, 1 if skip else 0, steps)
        line += end.count("\n")
        for bar in bars:
            begin = _BEGIN_OF_BAR.match(bar)
            tag = None if begin is None else self._texts.bar(begin[1])
            if begin is None or tag is None:
                self._next_bar()
                steps.append(None)
                self._look(bar, line, 1 if "<measure" in bar else 0, steps)
                line += bar.count("\n")
            else:
                line += bar.count("\n", 0, begin.end())
                self._next_bar(line, tag)
                steps.append((TURN, line, tag, None))
                rest = bar[begin.end() :]
                self._look(rest, line, 0, steps)
                line += rest.count("\n")

    def _look(self, text: str, line: int, bars: int, steps: list[Step | None]) -> None:
        """Take the directions of a text in which so many bars begin and nothing else is open."""
        *pieces, rest = text.split(_END_OF_DIRECTION)
        for piece in pieces:
            before, tag, direction = piece.partition("<direction")
            attributes, _, content = direction.partition(">")
            if not tag or attributes[:1] not in _NAME_ENDS:
                raise UnsureError
            if before.strip(WHITE):
                bars = self._beside(before, line, bars, steps)
            line += before.count("\n")
            begin, line = line, line + line_breaks(attributes)
            found, unread = self._texts.direction(direction, line)
            end = line + content.count("\n")
            self._take(found, unread, begin, end)
            steps.append((ASIDE, *found))
            line = end
        if rest.strip(WHITE):
            bars = self._beside(rest, line, bars, steps)
        if bars:
            raise UnsureError

    def _take(self, found: AsideText, unread: str | None, begin: int, end: int) -> None:
        """Take what stands beside notes and goes from a line to another one."""
        if unread is not None:
            self._catch_up()
            self._leave(unread, begin, end)
        elif not self._is_held:
            self._left.append(f"<{found[1].name}/>")
        self._items.append(found)

    def _beside(self, text: str, line: int, bars: int, steps: list[Step | None]) -> int:
        """Look at what stands beside directions and notes; return how many bars are to begin."""
        done = 0
        for aside in _ASIDE.finditer(text):
            before = text[done : aside.start()]
            bars = self._neither(before, line, bars, steps)
            line += before.count("\n")
            name, attributes, content = aside.groups()
            begin, line = line, line + line_breaks(attributes)
            found, unread = self._texts.aside(name, aside[0], line)
            end = line + content.count("\n")
            self._take(found, unread, begin, end)
            steps.append((ASIDE, *found))
            line, done = end, aside.end()
        return self._neither(text[done:], line, bars, steps)

    def _neither(self, text: str, line: int, bars: int, steps: list[Step | None]) -> int:
        """Look at what is neither note nor direction nor another aside; return as above."""
        if not text.strip(WHITE):
            return bars
        moves = [] if bars else _moves(text, line)
        for move in moves:
            self._move(move)
            steps.append((MOVE, move.line, move.name, move.duration))
        if moves:
            return bars
        steps.append(None)
        if "<" in text and (_depth(text) != bars or _begun(text) != bars):
            raise UnsureError
        self._catch_up()
        self._leave(text, line, line + text.count("\n"))
        return 0 if "<" in text else bars


def _moves(text: str, line: int) -> list[Move]:
    """Return the moves of a text that begins at a line, if there is nothing else in it."""
    if not _MOVES.fullmatch(text):
        return []
    return [
        Move(found[1], found[2], line + text.count("\n", 0, found.start()))
        for found in _ONE_MOVE.finditer(text)
    ]


def _note_in(piece: str) -> tuple[str, str, str]:
    """Return what stands before a note, its attributes and its content."""
    found = _NOTE.search(piece)
    if found is None:
        raise UnsureError
    attributes, _, content = piece[found.end() - 1 :].partition(">")
    return piece[: found.start()], attributes, content


@lru_cache(maxsize=4096)  # few of them, again and again
def line_breaks(attributes: str) -> int:
    """Count the line breaks in the attributes of a tag that goes on to the first ">" behind it.

    UnsureError if that ">" may stand in an attribute, or if the tag is an element by itself.
    """
    double, single = attributes.count('"'), attributes.count("'")
    if (double and single) or (double + single) % 2 or attributes[-1:] == "/":
        raise UnsureError
    return attributes.count("\n")


def _depth(text: str) -> int:
    """Return how many elements begin in a text that do not end in it."""
    ends = text.count("</")
    return text.count("<") - 2 * ends - text.count("/>") - text.count(NO_TAG)


def _begun(text: str) -> int:
    """Return how many bars begin in a text."""
    begun = text.count("<measure")
    return begun - text.count("<measure-") if begun else 0
