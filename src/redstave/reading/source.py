"""The text of a file beside its tree: where each note and direction of a bar stands.

Most notes of a score say what some note before them said, in the same words, and asking the parser
for each child of each note is what takes a reader's time. So each text is read once, and the parser
is spared the others: it is given the file without the content of notes whose text stood there
before. Their line breaks are left, so that every line keeps its number.

Texts are cut out of the file's bytes by looking for tags. That is sure only where every "<" begins
a tag of the tree, a text means the same wherever it stands, and notes and directions stand side by
side in their bars. Where that turns out not to be so, `UnsureError` is raised, and the tree alone
has to be read. Three things make it turn out: here, what could hide a tag or give a text another
meaning is looked for; the bars of the tree must hold as many notes and directions as the text
found; and the parser has seen every text once, so that what is not well-formed is found.
"""

import re
from collections.abc import Iterator
from typing import Generic, NamedTuple, TypeVar

from redstave.reading.note_said import NoteSaid
from redstave.reading.pitch import PitchSaid

# What may stand before the root: a byte-order mark, the declaration, comments, the usual doctype.
# A document type with declarations of its own could give elements attributes that no tag shows.
_PROLOGUE = re.compile(
    rb"(?:\xef\xbb\xbf)?\s*(?:<\?xml\s[^>]*\?>)?(?:(?>\s*<!--.*?-->)|\s*<!DOCTYPE[^\[<>]*>)*+\s*"
    rb"(?=<score-partwise[\s>])",
    re.DOTALL,
)
_COMMENTED = re.compile(rb"(?:-?[\t\n\r -,.-~])*+")  # no "--", and no byte that XML might refuse
_NO_TAG = b"<!---->"  # stands for a comment
_OF_PLACE = re.compile(rb"xmlns|xml:id")  # what makes a text mean something else where it stands
_BAR_ALONE = re.compile(rb"[^<]*<measure [^<>]*[^<>/]>[^<]*")
_NEXT_BAR = re.compile(rb"[^<]*</measure>" + _BAR_ALONE.pattern)  # most often between two notes
_BEFORE_PITCH = re.compile(rb"\s*(?:<(?:(?:chord|cue)\s*|grace(?:\s[^<>]*)?)/>\s*)*")  # no marks
_PITCH_TAG = re.compile(rb"</?pitch[\s/>]")
_NOTE = re.compile(rb"<note[ >]")
_END_OF_NOTE, _END_OF_BAR, _END_OF_PART = b"</note>", b"</measure>", b"</part>"
_END_OF_DIRECTION = b"</direction>"
_NAME_ENDS = frozenset([b"", b" "])
Said = TypeVar("Said")


class UnsureError(Exception):
    """The text of a file does not tell for sure what stands in its bars."""


class Told(Generic[Said]):
    """What a text says, None until it has been read.

    `lines` are the line breaks in it, `above` those before the pitch that is told apart from it.
    """

    __slots__ = ("above", "lines", "said")

    def __init__(self, lines: int, above: int = 0) -> None:
        self.lines = lines
        self.above = above
        self.said: Said | None = None


# A note: the line in which its first tag ends, whether it has attributes, its content, its pitch.
NoteText = tuple[int, bool, Told[NoteSaid], Told[PitchSaid] | None]


class DirectionText(NamedTuple):
    """The text of a direction, and the line in which its first tag ends."""

    line: int
    text: bytes


# The notes and the directions of a bar, each in the order of the file.
BarText = tuple[list[NoteText], list[DirectionText]]


class Source:
    """A file cut into its bars; `data` is what is left to the parser."""

    def __init__(self, data: bytes) -> None:
        prologue = _PROLOGUE.match(data)
        if prologue is None:
            raise UnsureError
        self._texts = _Texts()
        *parts, rest = _without_comments(data, prologue.end()).split(_END_OF_PART)
        cut = [_Part(part, self._texts) for part in parts]
        self.data = _END_OF_PART.join([*(part.left for part in cut), rest])
        self._parts = iter([part.bars for part in cut])
        if _END_OF_NOTE in rest or _OF_PLACE.search(self.data, data.find(b">", prologue.end())):
            raise UnsureError

    def next_part(self) -> Iterator[BarText]:
        """Return the bars of the next part."""
        bars = next(self._parts, None)
        if bars is None:
            raise UnsureError
        return iter(bars)


class _Texts:
    """The texts met so far, and the line we are in."""

    def __init__(self) -> None:
        self.line = 1
        self._notes: dict[bytes | tuple[bytes, bytes, int], Told[NoteSaid]] = {}
        self._pitches: dict[bytes, Told[PitchSaid]] = {}
        self._alone: dict[bytes, bool] = {}  # whether a pitch behind such a text can be told apart

    def note(self, content: bytes, attributed: bool, found: list[NoteText]) -> bytes:
        """Take a note by its content; return what is left of it for the parser.

        Its content is left where it is new. A note is known by what stands before and behind its
        pitch, and by the number of lines between, so that its own lines can be counted from it.
        """
        before, cut, rest = content.partition(b"<pitch>")
        if not cut or not self._is_alone(before):
            return self._whole(content, attributed, found)
        inner, _, after = rest.partition(b"</pitch>")
        pitch = self._pitches.get(inner)
        told = None if pitch is None else self._notes.get((before, after, pitch.lines))
        if told is not None:
            found.append((self.line, attributed, told, pitch))
            self.line += told.lines
            return b"\n" * told.lines
        if _PITCH_TAG.search(inner) or _PITCH_TAG.search(after):
            return self._whole(content, attributed, found)
        if pitch is None:
            pitch = self._pitches[inner] = Told(inner.count(b"\n"))
        key = before, after, pitch.lines
        told = self._notes.get(key)
        if told is None:
            told = self._notes[key] = Told(content.count(b"\n"), before.count(b"\n"))
        found.append((self.line, attributed, told, pitch))
        self.line += told.lines
        return content

    def _whole(self, content: bytes, attributed: bool, found: list[NoteText]) -> bytes:
        """Take a note whose pitch is not told apart."""
        told = self._notes.get(content)
        left = content if told is None else b"\n" * told.lines
        if told is None:
            told = self._notes[content] = Told(content.count(b"\n"))
        found.append((self.line, attributed, told, None))
        self.line += told.lines
        return left

    def _is_alone(self, before: bytes) -> bool:
        """Whether only what holds no marks stands before a pitch, so that it can be told apart."""
        known = self._alone.get(before)
        if known is None:
            known = self._alone[before] = _BEFORE_PITCH.fullmatch(before) is not None
        return known


class _Part:
    """A part cut into its bars; `left` is what is left of it for the parser."""

    def __init__(self, part: bytes, texts: _Texts) -> None:
        self.bars: list[BarText] = []
        self._notes: list[NoteText] = []
        self._directions: list[DirectionText] = []
        left: list[bytes] = []
        breaks: dict[bytes, int] = {}
        *pieces, rest = part.split(_END_OF_NOTE)
        begun = part.find(b"<measure")
        if begun < 0 or _NOTE.search(part, 0, begun):
            raise UnsureError
        for piece in pieces:
            head, _, content = piece.partition(b">")
            space, tag, attributes = head.partition(b"<note")
            if b"<" in space or not tag or attributes[:1] not in _NAME_ENDS:
                found = _NOTE.search(piece)
                if found is None:
                    raise UnsureError
                space = piece[: found.start()]
                attributes, _, content = piece[found.end() - 1 :].partition(b">")
                head = space + b"<note" + attributes
                self._between(space, begun, texts.line)
                begun = 0
                texts.line += space.count(b"\n")
            elif space in breaks:
                texts.line += breaks[space]
            else:
                breaks[space] = space.count(b"\n")
                texts.line += breaks[space]
            if attributes:
                texts.line += _line_breaks(attributes)
            left += head, b">", texts.note(content, bool(attributes), self._notes), _END_OF_NOTE
        left.append(rest)
        self.left = b"".join(left)
        self._between(rest, begun, texts.line)
        texts.line += rest.count(b"\n")
        if self._notes or self._directions:  # behind the last bar, where nobody reads them
            raise UnsureError

    def _between(self, text: bytes, skip: int, line: int) -> None:
        """Look at what stands between two notes, or before or behind them, from `skip` on."""
        if not skip and _NEXT_BAR.fullmatch(text):
            self._end_bar()
            return
        line += text.count(b"\n", 0, skip)
        end, *bars = text[skip:].split(_END_OF_BAR)
        is_begun = 1 if skip else 0
        self._look(end, line, is_begun)
        for bar in bars:
            self._end_bar()
            line += end.count(b"\n")
            self._look(bar, line, 1 if b"<measure" in bar else 0)
            end = bar

    def _end_bar(self) -> None:
        self.bars.append((self._notes, self._directions))
        self._notes, self._directions = [], []

    def _look(self, text: bytes, line: int, bars: int) -> None:
        """Take the directions of a text in which so many bars begin and nothing else is open."""
        if _BAR_ALONE.fullmatch(text) if bars else b"<" not in text:
            return
        *pieces, rest = text.split(_END_OF_DIRECTION)
        others: list[bytes] = []
        for piece in pieces:
            before, tag, direction = piece.partition(b"<direction")
            attributes, _, content = direction.partition(b">")
            if not tag or attributes[:1] not in _NAME_ENDS:
                raise UnsureError
            line += before.count(b"\n") + _line_breaks(attributes)
            self._directions.append(DirectionText(line, direction))
            line += content.count(b"\n")
            others.append(before)
        others.append(rest)
        for other in others:
            if b"<" in other:
                if _depth(other) != bars or _begun(other) != bars:
                    raise UnsureError
                bars = 0
        if bars:
            raise UnsureError


def _line_breaks(attributes: bytes) -> int:
    """Count the line breaks in the attributes of a tag that goes on to the first ">" behind it.

    UnsureError if that ">" may stand in an attribute, or if the tag is an element by itself.
    """
    double, single = attributes.count(b'"'), attributes.count(b"'")
    if (double and single) or (double + single) % 2 or attributes[-1:] == b"/":
        raise UnsureError
    return attributes.count(b"\n")


def _without_comments(data: bytes, root: int) -> bytes:
    """Return a file whose comments are a mark and their line breaks."""
    plain = data
    if _tags(data, b"!", root):
        first, *others = data[root:].split(b"<!--")
        plain = data[:root] + first + b"".join(map(_uncommented, others))
        if _tags(plain, b"!", root) != plain.count(_NO_TAG, root):
            raise UnsureError
    if _tags(plain, b"?", root):
        raise UnsureError
    return plain


def _uncommented(text: bytes) -> bytes:
    """Return a text that begins inside a comment with a mark instead of it."""
    comment, end, rest = text.partition(b"-->")
    if not end or not _COMMENTED.fullmatch(comment):
        raise UnsureError
    return _NO_TAG + b"\n" * comment.count(b"\n") + rest


def _tags(data: bytes, sign: bytes, begin: int) -> int:
    """Count the tags from a place on that begin with a sign, one that is rare elsewhere."""
    found = 0
    while (begin := data.find(sign, begin + 1)) >= 0:
        found += data[begin - 1 : begin] == b"<"
    return found


def _depth(text: bytes) -> int:
    """Return how many elements begin in a text that do not end in it."""
    ends = text.count(b"</")
    return text.count(b"<") - 2 * ends - text.count(b"/>") - text.count(_NO_TAG)


def _begun(text: bytes) -> int:
    """Return how many bars begin in a text."""
    begun = text.count(b"<measure")
    return begun - text.count(b"<measure-") if begun else 0
