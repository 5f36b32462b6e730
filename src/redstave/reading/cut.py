"""The text of one part, cut into its bars and notes.

What the parser has to read is left to it. The others stand in its tree for what has gone: a note
for those right behind it whose texts are known, a bar for those right behind it that hold nothing
else. Their line breaks are left too, so that every line keeps its number.
"""

import re
from typing import NamedTuple

from redstave.model.score import Attributes
from redstave.reading.blanks import Values
from redstave.reading.texts import DirectionText, NoteText, Texts, own_attributes

_BAR_ALONE = re.compile(r"[^<]*<measure [^<>]*[^<>/]>[^<]*")
# What most often stands between two notes, if anything; with the first tag of the other one.
_SPACE = r"[ \t\r\n]*"
_PLAIN_BAR = re.compile(
    rf"{_SPACE}</measure>{_SPACE}<measure"
    r'( number="([-\w.]++)"(?: width="([-0-9.]++)")?| [^<>]*")>'
    rf"({_SPACE})<note(| [^<>]*)>",
    re.ASCII,
)
_NOTE = re.compile(r"<note[ >]")
_END_OF_NOTE, _END_OF_BAR, _END_OF_DIRECTION = "</note>", "</measure>", "</direction>"
_NAME_ENDS = frozenset(["", " "])
_new = tuple.__new__  # for what is made ten thousand times: see `redstave.reading.walk`
NO_VALUES: Values = ()
NO_TAG = "<!---->"  # stands for a comment


class UnsureError(Exception):
    """The text of a file does not tell for sure what stands in its bars."""


class BarText(NamedTuple):
    """The notes and the directions of a bar, each in the order of the file.

    Notes stand in runs: of each, the first has an element in the tree. `line` is the one in which
    the bar's tag ends, `attributes` are the bar's; None where its element has to be asked for both.
    """

    line: int
    attributes: Attributes | None
    runs: list[list[NoteText]]
    directions: list[DirectionText]


class PartText:
    """A part cut into its bars; `left` is what is left of it for the parser.

    `bars` are those that have an element in the tree, each with those that it stands for.
    """

    def __init__(self, part: str, texts: Texts) -> None:
        self.bars: list[list[BarText]] = []
        self._texts = texts
        self._runs: list[list[NoteText]] = []
        self._directions: list[DirectionText] = []
        self._line = 0  # of the bar
        self._attributes: Attributes | None = None
        self._is_held = False  # whether the bar's tag is not yet left to the parser
        self._left: list[str] = []
        self._gap = 0  # line breaks that are to be left next
        self._breaks: dict[str, int] = {}  # in the spaces between two notes
        *pieces, rest = part.split(_END_OF_NOTE)
        self._begun = part.find("<measure")
        if self._begun < 0 or _NOTE.search(part, 0, self._begun):
            raise UnsureError
        self._cut(pieces)
        self._between(rest)
        if self._runs or self._directions:  # behind the last bar, where nobody reads them
            raise UnsureError
        self.left = "".join(self._left)

    def _cut(self, pieces: list[str]) -> None:
        """Take the notes that these pieces end with."""
        texts, breaks, known = self._texts, self._breaks, self._texts.known
        line = texts.line
        for piece in pieces:
            head, _, content = piece.partition(">")
            space, tag, attributes = head.partition("<note")
            lines = breaks.get(space, -1)
            follows = lines >= 0 and tag and attributes[:1] in _NAME_ENDS
            if follows:
                line += lines
            else:
                lines, texts.line = 0, line
                attributes, content = self._elsewhere(piece)
                line = texts.line
            own = own_attributes(attributes) if attributes else ()
            if own is None:
                line += line_breaks(attributes)
            told, values, unread = known.get(content), NO_VALUES, None
            if told is None:
                told, values, unread = texts.find(content)
            note = line, own, told, values
            line += told[2]
            if follows and unread is None and own is not None:
                self._runs[-1].append(note)
                self._gap += lines + told[2]
                continue
            if lines:
                self._gap += lines
            self._begin_run(note, attributes, unread)
        texts.line = line

    def _begin_run(self, note: NoteText, attributes: str, unread: str | None) -> None:
        """Begin a run with a note; the parser reads what of it is not known."""
        _, own, told, _ = note
        is_known = unread is None and own is not None
        if not (is_known and self._is_held and not self._runs):
            self._catch_up()
            self._left.append("<note" if own is not None else "<note" + attributes)
            self._left += ("/>",) if unread is None else (">", unread, _END_OF_NOTE)
        if unread is None:
            self._gap += told[2]
        self._runs.append([note])

    def _elsewhere(self, piece: str) -> tuple[str, str]:
        """Look at what stands before a note; return the note's attributes and content."""
        plain = _PLAIN_BAR.match(piece)
        if plain is not None and not self._begun:
            own = _of_bar(plain)
            if own is not None:
                self._next_bar(plain, own)
                return plain[5], piece[plain.end() :]
        found = _NOTE.search(piece)
        if found is None:
            raise UnsureError
        space = piece[: found.start()]
        attributes, _, content = piece[found.end() - 1 :].partition(">")
        if not space.strip(" \t\r\n"):
            self._breaks[space] = space.count("\n")
        self._between(space)
        return attributes, content

    def _next_bar(self, found: re.Match[str], attributes: Attributes) -> None:
        """Go from one bar to another, with nothing else between."""
        above = found.string.count("\n", 0, found.end(1))
        if self._is_held:
            self.bars[-1].append(self._bar())
        else:
            self._left.append(_END_OF_BAR)
            self.bars.append([self._bar()])
        self._left.append("\n" * (self._gap + above))
        self._gap = found[4].count("\n")
        self._is_held, self._attributes = True, attributes
        self._line = self._texts.line + above
        self._texts.line = self._line + self._gap

    def _catch_up(self) -> None:
        """Leave to the parser what had to wait."""
        if self._is_held:
            self._left += "<measure>", "<note/>" if self._runs else ""
            self._is_held = False
        if self._gap:
            self._left.append("\n" * self._gap)
            self._gap = 0

    def _bar(self) -> BarText:
        """Return the bar that ends here."""
        bar = _new(BarText, (self._line, self._attributes, self._runs, self._directions))
        self._runs, self._directions = [], []
        self._line, self._attributes = 0, None
        return bar

    def _between(self, text: str) -> None:
        """Look at what stands between two notes, or before or behind them, and go behind it."""
        self._catch_up()
        skip, self._begun = self._begun, 0
        line = self._texts.line
        self._texts.line += text.count("\n")
        self._left.append(text[:skip])
        line += text.count("\n", 0, skip)
        end, *bars = text[skip:].split(_END_OF_BAR)
        self._look(end, line, 1 if skip else 0)
        for bar in bars:
            self._left.append(_END_OF_BAR)
            self.bars.append([self._bar()])
            line += end.count("\n")
            self._look(bar, line, 1 if "<measure" in bar else 0)
            end = bar

    def _look(self, text: str, line: int, bars: int) -> None:
        """Take the directions of a text in which so many bars begin and nothing else is open."""
        if _BAR_ALONE.fullmatch(text) if bars else "<" not in text:
            self._left.append(text)
            return
        *pieces, rest = text.split(_END_OF_DIRECTION)
        others: list[str] = []
        for piece in pieces:
            before, tag, direction = piece.partition("<direction")
            attributes, _, content = direction.partition(">")
            if not tag or attributes[:1] not in _NAME_ENDS:
                raise UnsureError
            line += before.count("\n") + line_breaks(attributes)
            found, unread = self._texts.direction(direction, line)
            self._directions.append(found)
            line += content.count("\n")
            self._left += before, unread
            others.append(before)
        self._left.append(rest)
        others.append(rest)
        for other in others:
            if "<" in other:
                if _depth(other) != bars or _begun(other) != bars:
                    raise UnsureError
                bars = 0
        if bars:
            raise UnsureError


def _of_bar(found: re.Match[str]) -> Attributes | None:
    """Return the attributes of a plain bar."""
    attributes, number, width, _, _ = found.groups()
    if number is None:
        return own_attributes(attributes)
    return (("number", number), ("width", width)) if width else (("number", number),)


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
