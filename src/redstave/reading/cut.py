"""The text of one part, cut into its bars and notes.

What the parser has to read is left to it. The others stand in its tree for what has gone: a note
for those right behind it whose texts are known, a bar for those right behind it that hold nothing
else than what is known. Their line breaks are left too, so that every line keeps its number.
"""

import re
from typing import NamedTuple

from redstave.model.score import Attributes
from redstave.reading.blanks import Values
from redstave.reading.texts import DirectionText, NoteText, Texts

_SPACE = r"[ \t\r\n]*"
_BAR = rf'{_SPACE}<measure( [^<>]*")>'
_BEGIN_OF_BAR = re.compile(_BAR)
# What most often stands between two notes, if anything; with the first tag of the other one.
_PLAIN_BAR = re.compile(rf"{_SPACE}</measure>{_BAR}({_SPACE})<note(| [^<>]*)>")
_MOVE = rf"<(backup|forward)>{_SPACE}<duration>([0-9]++)</duration>{_SPACE}</"
_MOVES = re.compile(rf"(?:{_SPACE}{_MOVE}\1>)++{_SPACE}")
_ONE_MOVE = re.compile(_MOVE)
_NOTE = re.compile(r"<note[ >]")
_END_OF_NOTE, _END_OF_BAR, _END_OF_DIRECTION = "</note>", "</measure>", "</direction>"
_NAME_ENDS = frozenset(["", " "])
_new = tuple.__new__  # for what is made ten thousand times: see `redstave.reading.walk`
NO_VALUES: Values = ()
NO_TAG = "<!---->"  # stands for a comment


class UnsureError(Exception):
    """The text of a file does not tell for sure what stands in its bars."""


class Move(NamedTuple):
    """A `<backup>` or `<forward>`, by its name, that says how long it is, and no more."""

    name: str
    duration: str
    line: int


Item = list[NoteText] | DirectionText | Move


class BarText(NamedTuple):
    """What a bar holds, in the order of the file.

    Notes stand in runs: of each, the first has an element in the tree, if the bar has one. Moves
    are told only in bars that have none. `line` is the one in which the bar's tag ends,
    `attributes` are the bar's; None where its element has to be asked for both.
    """

    line: int
    attributes: Attributes | None
    items: list[Item]


class PartText:
    """A part cut into its bars; `left` is what is left of it for the parser.

    `bars` are those that have an element in the tree, each with those that it stands for.
    """

    def __init__(self, part: str, texts: Texts) -> None:
        self.bars: list[list[BarText]] = []
        self._texts = texts
        self._items: list[Item] = []  # of the bar
        self._line = 0
        self._attributes: Attributes | None = None
        self._is_held = False  # whether nothing of the bar is left to the parser so far
        self._left: list[str] = []
        self._reached = texts.line  # the line in which ends what is left so far
        self._breaks: dict[str, int] = {}  # in the spaces between two notes
        *pieces, rest = part.split(_END_OF_NOTE)
        self._begun = part.find("<measure")
        if self._begun < 0 or _NOTE.search(part, 0, self._begun):
            raise UnsureError
        self._cut(pieces)
        self._between(rest)
        if self._items:  # behind the last bar, where nobody reads them
            raise UnsureError
        self._leave("", texts.line, texts.line)
        self.left = "".join(self._left)

    def _cut(self, pieces: list[str]) -> None:
        """Take the notes that these pieces end with."""
        texts, breaks, known = self._texts, self._breaks, self._texts.known
        line, run = texts.line, list[NoteText]()
        for piece in pieces:
            head, _, content = piece.partition(">")
            space, tag, attributes = head.partition("<note")
            lines = breaks.get(space, -1)
            follows = lines >= 0 and tag and attributes[:1] in _NAME_ENDS
            if follows:
                line += lines
            else:
                texts.line = line
                attributes, content = self._elsewhere(piece)
                line = texts.line
            own = texts.own(attributes) if attributes else ()
            if own is None:
                line += line_breaks(attributes)
            told, values, unread = known.get(content), NO_VALUES, None
            if told is None:
                told, values, unread = texts.find(content)
            note = line, own, told, values
            if follows and unread is None and own is not None:
                run.append(note)
            else:
                run = self._begin_run(note, attributes, unread)
            line += told[2]
        texts.line = line

    def _begin_run(self, note: NoteText, attributes: str, unread: str | None) -> list[NoteText]:
        """Begin a run with a note; the parser reads what of it is not known."""
        line, own, told, _ = note
        if unread is not None or own is None:
            self._catch_up()
            tag = "<note" if own is not None else f"<note{attributes}"
            text = f"{tag}/>" if unread is None else f"{tag}>{unread}{_END_OF_NOTE}"
            above = 0 if own is not None else attributes.count("\n")
            self._leave(text, line - above, line if unread is None else line + told[2])
        elif not self._is_held:
            self._left.append("<note/>")
        run = [note]
        self._items.append(run)
        return run

    def _leave(self, text: str, line: int, end: int) -> None:
        """Leave a text to the parser that goes from a line to another one."""
        if line > self._reached:
            self._left.append("\n" * (line - self._reached))
        self._left.append(text)
        self._reached = end

    def _elsewhere(self, piece: str) -> tuple[str, str]:
        """Look at what stands before a note; return the note's attributes and content."""
        plain = _PLAIN_BAR.match(piece)
        if plain is not None and not self._begun:
            bar, space, attributes = plain.groups()
            own = self._texts.own(bar)
            if own is not None:
                self._end_bar()
                line = self._texts.line + piece.count("\n", 0, plain.end(1))
                self._hold(line, own)
                self._texts.line = line + space.count("\n")
                return attributes, piece[plain.end() :]
        found = _NOTE.search(piece)
        if found is None:
            raise UnsureError
        space = piece[: found.start()]
        attributes, _, content = piece[found.end() - 1 :].partition(">")
        if not space.strip(" \t\r\n"):
            self._breaks[space] = space.count("\n")
        self._between(space)
        return attributes, content

    def _end_bar(self) -> None:
        """Go behind a bar."""
        bar = _new(BarText, (self._line, self._attributes, self._items))
        if self._is_held:
            self.bars[-1].append(bar)
            self._is_held = False
        else:
            self._left.append(_END_OF_BAR)
            self.bars.append([bar])
        self._line, self._attributes, self._items = 0, None, []

    def _hold(self, line: int, attributes: Attributes) -> None:
        """Begin a bar of which nothing is left to the parser unless that must be."""
        self._line, self._attributes, self._is_held = line, attributes, True

    def _catch_up(self) -> None:
        """Leave to the parser what was held."""
        if self._is_held:
            self._is_held = False
            self._left.append("<measure>")
            held, self._items = self._items, []
            for item in held:
                if isinstance(item, Move):
                    name, duration, line = item
                    text = f"<{name}><duration>{duration}</duration></{name}>"
                    self._leave(text, line, line)
                else:
                    self._left.append("<note/>" if isinstance(item, list) else "<direction/>")
                    self._items.append(item)

    def _between(self, text: str) -> None:
        """Look at what stands between two notes, or before or behind them, and go behind it."""
        skip, self._begun = self._begun, 0
        line = self._texts.line
        self._texts.line += text.count("\n")
        if skip:
            above = text.count("\n", 0, skip)
            self._leave(text[:skip], line, line + above)
            line += above
        end, *bars = text[skip:].split(_END_OF_BAR)
        self._look(end, line, 1 if skip else 0)
        line += end.count("\n")
        for bar in bars:
            self._end_bar()
            begin = _BEGIN_OF_BAR.match(bar)
            own = None if begin is None else self._texts.own(begin[1])
            if begin is None or own is None:
                self._look(bar, line, 1 if "<measure" in bar else 0)
                line += bar.count("\n")
            else:
                line += bar.count("\n", 0, begin.end())
                self._hold(line, own)
                rest = bar[begin.end() :]
                self._look(rest, line, 0)
                line += rest.count("\n")

    def _look(self, text: str, line: int, bars: int) -> None:
        """Take the directions of a text in which so many bars begin and nothing else is open."""
        *pieces, rest = text.split(_END_OF_DIRECTION)
        for piece in pieces:
            before, tag, direction = piece.partition("<direction")
            attributes, _, content = direction.partition(">")
            if not tag or attributes[:1] not in _NAME_ENDS:
                raise UnsureError
            bars = self._beside(before, line, bars)
            line += before.count("\n")
            begin, line = line, line + line_breaks(attributes)
            found, unread = self._texts.direction(direction, line)
            end = line + content.count("\n")
            if unread is not None:
                self._catch_up()
                self._leave(unread, begin, end)
            elif not self._is_held:
                self._left.append("<direction/>")
            self._items.append(found)
            line = end
        if self._beside(rest, line, bars):
            raise UnsureError

    def _beside(self, text: str, line: int, bars: int) -> int:
        """Look at what stands beside directions and notes; return how many bars are to begin."""
        if "<" not in text:
            if text.strip(" \t\r\n"):
                self._catch_up()
                self._leave(text, line, line + text.count("\n"))
            return bars
        if self._is_held and _MOVES.fullmatch(text):
            for move in _ONE_MOVE.finditer(text):
                below = text.count("\n", 0, move.start())
                self._items.append(Move(move[1], move[2], line + below))
            return bars
        if _depth(text) != bars or _begun(text) != bars:
            raise UnsureError
        self._catch_up()
        self._leave(text, line, line + text.count("\n"))
        return 0


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
