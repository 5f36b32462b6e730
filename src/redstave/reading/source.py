"""The text of a file beside its tree: where each note and direction of a bar stands.

Most notes of a score say what some note before them said, in the same words. So each text is read
once, and the parser is spared the others: it is given the file without the content of notes whose
text stood there before. Texts are cut out of the file's bytes by looking for tags, which is sure
only where every "<" begins a tag of the tree, and notes and directions stand side by side in their
bars; where that turns out not to be so, `UnsureError` is raised, and the tree alone has to be read.
"""

import re
from collections.abc import Iterator
from typing import Generic, NamedTuple, TypeVar

from redstave.reading.note_said import NoteSaid
from redstave.reading.pitch import PitchSaid

# What may stand before the root: a byte-order mark, the declaration, comments, the usual doctype.
_PROLOGUE = re.compile(
    rb"(?:\xef\xbb\xbf)?\s*(?:<\?xml[^>]*\?>)?(?:\s*<!--.*?-->|\s*<!DOCTYPE[^\[<>]*>)*\s*"
    rb"(?=<score-partwise[\s>])",
    re.DOTALL,
)
_COMMENT = re.compile(rb"<!--.*?-->", re.DOTALL)
_NO_TAG = b"<!---->"  # stands for a comment
_BAR_ALONE = re.compile(rb"[^<]*<measure [^<>]*[^<>/]>[^<]*")
_NEXT_BAR = re.compile(rb"[^<]*</measure>" + _BAR_ALONE.pattern)  # most often between two notes
_BEFORE_PITCH = re.compile(rb"\s*(?:<(?:chord|cue)\s*/>\s*|<grace[^<>]*/>\s*)*")  # without marks
_DIRECTION = re.compile(rb"(<direction(?: [^>]*)?>)((?:[^<]++|<(?!/direction>))*+)</direction>")
_NOTE = re.compile(rb"<note[ >]")
_END_OF_NOTE, _END_OF_BAR, _END_OF_PART = b"</note>", b"</measure>", b"</part>"
_NAME_ENDS = frozenset([b"", b" "])
Said = TypeVar("Said")


class UnsureError(Exception):
    """The text of a file does not tell for sure what stands in its bars."""


class Told(Generic[Said]):
    """What a text says, None until it has been read.

    `lines` are the line breaks in it, `above` those before the pitch that has been cut out of it.
    """

    __slots__ = ("above", "lines", "said")

    def __init__(self, before: bytes, after: bytes = b"") -> None:
        self.above = before.count(b"\n")
        self.lines = self.above + after.count(b"\n")
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
        if _END_OF_NOTE in rest:
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
        self._notes: dict[bytes | tuple[bytes, bytes], Told[NoteSaid]] = {}
        self._pitches: dict[bytes, Told[PitchSaid]] = {}
        self._alone: dict[bytes, bool] = {}  # whether a pitch behind such a text can be told apart

    def note(self, content: bytes, attributed: bool, found: list[NoteText]) -> bytes:
        """Take a note by its content; return what is left of it for the parser.

        Its content is left where it is new.
        """
        before, cut, rest = content.partition(b"<pitch>")
        if not cut or not self._is_alone(before):
            return self._whole(content, attributed, found)
        inner, _, after = rest.partition(b"</pitch>")
        told, pitch = self._notes.get((before, after)), self._pitches.get(inner)
        if told is not None and pitch is not None:
            found.append((self.line, attributed, told, pitch))
            lines = told.lines + pitch.lines
            self.line += lines
            return b"\n" * lines
        if b"<pitch" in after:
            return self._whole(content, attributed, found)
        if told is None:
            told = self._notes[before, after] = Told(before, after)
        if pitch is None:
            pitch = self._pitches[inner] = Told(inner)
        found.append((self.line, attributed, told, pitch))
        self.line += told.lines + pitch.lines
        return content

    def _whole(self, content: bytes, attributed: bool, found: list[NoteText]) -> bytes:
        """Take a note whose pitch is not told apart."""
        told = self._notes.get(content)
        left = content if told is None else b"\n" * told.lines
        if told is None:
            told = self._notes[content] = Told(content)
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
            if b"\n" in attributes:
                texts.line += attributes.count(b"\n")
            left += head, b">", texts.note(content, bool(attributes), self._notes), _END_OF_NOTE
        left.append(rest)
        self.left = b"".join(left)
        self._between(rest, begun, texts.line)
        texts.line += rest.count(b"\n")

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
        others = [text]
        if b"<direction" in text:
            pieces = _DIRECTION.split(text)
            others = pieces[::3]
            for before, head, content in zip(others, pieces[1::3], pieces[2::3], strict=False):
                line += before.count(b"\n") + head.count(b"\n")
                self._directions.append(DirectionText(line, head + content))
                line += content.count(b"\n")
        for other in others:
            if b"<" in other:
                if _depth(other) != bars or _begun(other) != bars:
                    raise UnsureError
                bars = 0
        if bars:
            raise UnsureError


def _without_comments(data: bytes, root: int) -> bytes:
    """Return a file whose comments are a mark and their line breaks."""
    plain = data
    if _tags(data, b"!", root):
        plain = data[:root] + _COMMENT.sub(_blank, data[root:])
        if _tags(plain, b"!", root) != plain.count(_NO_TAG, root):
            raise UnsureError
    if _tags(plain, b"?", root):
        raise UnsureError
    return plain


def _tags(data: bytes, sign: bytes, begin: int) -> int:
    """Count the tags from a place on that begin with a sign, one that is rare elsewhere."""
    found = 0
    while (begin := data.find(sign, begin + 1)) >= 0:
        found += data[begin - 1 : begin] == b"<"
    return found


def _blank(comment: re.Match[bytes]) -> bytes:
    if b"--" in comment[0][4:-3]:  # no XML
        raise UnsureError
    return _NO_TAG + b"\n" * comment[0].count(b"\n")


def _depth(text: bytes) -> int:
    """Return how many elements begin in a text that do not end in it."""
    ends = text.count(b"</")
    return text.count(b"<") - 2 * ends - text.count(b"/>") - text.count(_NO_TAG)


def _begun(text: bytes) -> int:
    """Return how many bars begin in a text."""
    begun = text.count(b"<measure")
    return begun - text.count(b"<measure-") if begun else 0
